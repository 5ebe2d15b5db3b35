"""Which rings, at which marks, on which wheel: the true joint optimum over all pairs of both wheels.

How it is found quickly, and why it is exact, stands in joint_search.py; what is better than what, in outside.py and
wheel_aim.py. This module sets up the four fit patterns, puts their plans in order and adds chance and advice.

In short, for whoever mirrors it: the candidates of a wheel are all index pairs of all ring sets in order (ring set
position, i, j), that order being their rank; duplicates in (camber, toe) keep the smallest rank; the candidate of a
wheel without rings is the one effect (0, 0). Each pattern is one search over (left candidates) x (right candidates)
for the least (toe_steps, camber_steps, 0 or 1, distance, left rank, right rank). Any search that finds that minimum
gives the same plans, because no two pairs have equal keys.
"""

from calc.choose.advice import advice_of
from calc.choose.chance import Fitted, chance_count
from calc.choose.choose_input import Request, Wheel, request_from_json
from calc.choose.effect_index import NO_RINGS, index_of, tree_of
from calc.choose.joint_search import best_pair
from calc.choose.normal_points import POINTS
from calc.choose.outside import camber_terms, outside, toe_terms
from calc.choose.wheel_aim import aims_of, distance_of
from calc.numbers.errors import InputError
from calc.numbers.sides import SIDES

# In the order of the last ties: none, left, right, both.
PATTERNS = ((), SIDES[:1], SIDES[1:], SIDES)  # none, left only, right only, both
CLOSE_COUNT = 819  # a fifth of the points: less chance than that does not pay for another pair of rings


def choose(choose_input: dict) -> dict:
    """Return `{"advice": [...], "plans": [...]}` for an input object, the recommended plan first.

    All angles are whole mdeg, except thrust and toe_outside, which may end in .5. Each allowed fit pattern has one
    plan. Raises InputError for input that is not as expected, and where `rings` is "yes" but no ring set offers
    an index pair.
    """
    request = request_from_json(choose_input)
    plans = _in_order([_plan(request, pattern) for pattern in _allowed_patterns(request)])
    return {"advice": advice_of(request, plans), "plans": plans}


def _allowed_patterns(request: Request) -> list[tuple[str, ...]]:
    nothing_to_fit = len(index_of(request.ring_sets).i) == 0
    for side in SIDES:
        if nothing_to_fit and request.wheels[side].rings == "yes":
            raise InputError(f"wheels.{side}.rings", "auto or no, as no ring set offers an index pair", "'yes'")
    return [
        pattern
        for pattern in PATTERNS
        if all(_allows(request.wheels[side], side in pattern) for side in SIDES) and not (pattern and nothing_to_fit)
    ]


def _allows(wheel: Wheel, has_rings: bool) -> bool:
    return wheel.rings == "auto" or (wheel.rings == "yes") == has_rings


def _plan(request: Request, pattern: tuple[str, ...]) -> dict:
    """Return the best plan of one fit pattern, as it is put out."""
    trees = [_tree(request, side) if side in pattern else NO_RINGS for side in SIDES]
    ranks = dict(zip(SIDES, best_pair(request, *trees), strict=True))
    fitted = {side: _fitted(request, ranks[side]) if side in pattern else None for side in SIDES}
    predicted = {side: _predicted(request.wheels[side], fitted[side]) for side in SIDES}
    return {
        **{side: _rings_json(fitted[side]) for side in SIDES},
        "predicted": {side: list(predicted[side]) for side in SIDES},
        **_scores(request, predicted),
        "pairs": len(pattern),
        "distance": _distance(request, predicted),
        "chance": chance_count(request, predicted, fitted) / POINTS,
    }


def _tree(request: Request, side: str):
    """Return the tree of a wheel's candidates; an angle without any window is no reason to tell two pairs apart."""
    wheel, axle = request.wheels[side], request.axle
    uses_camber = (wheel.camber_window or axle.cross_camber) is not None
    uses_toe = (wheel.toe_window or axle.total_toe or axle.thrust) is not None
    return tree_of(request.ring_sets, uses_camber, uses_toe)


def _fitted(request: Request, rank: int) -> Fitted:
    all_pairs = index_of(request.ring_sets)
    ring_set = request.ring_sets[int(all_pairs.position[rank])]
    effect = int(all_pairs.camber[rank]), int(all_pairs.toe[rank])
    return Fitted(ring_set, int(all_pairs.i[rank]), int(all_pairs.j[rank]), effect)


def _predicted(wheel: Wheel, fitted: Fitted | None) -> tuple[int, int]:
    camber, toe = fitted.effect if fitted else (0, 0)
    return wheel.camber + camber, wheel.toe + toe


def _rings_json(fitted: Fitted | None) -> dict | None:
    if fitted is None:
        return None
    return {"ring_set": fitted.ring_set.id, "pair": [fitted.i, fitted.j], "effect": list(fitted.effect)}


def _scores(request: Request, predicted: dict[str, tuple[int, int]]) -> dict:
    (left_camber, left_toe), (right_camber, right_toe) = predicted["left"], predicted["right"]
    toe_halves = int(outside(toe_terms(request), left_toe, left_toe, right_toe, right_toe))
    camber = int(outside(camber_terms(request), left_camber, left_camber, right_camber, right_camber))
    axle = {
        "total_toe": left_toe + right_toe,
        "thrust": _halved(left_toe - right_toe),
        "cross_camber": left_camber - right_camber,
    }
    return {
        "axle": axle,
        "toe_outside": _halved(toe_halves),
        "camber_outside": camber,
        "toe_steps": toe_halves // (2 * request.band_toe),
        "camber_steps": camber // request.band_camber,
    }


def _halved(whole: int) -> int | float:
    """Return half of it, whole where it is whole."""
    return whole // 2 if whole % 2 == 0 else whole / 2


def _distance(request: Request, predicted: dict[str, tuple[int, int]]) -> float:
    left, right = (
        float(distance_of(aims_of(request, side), camber, camber, toe, toe))
        for side, (camber, toe) in ((side, predicted[side]) for side in SIDES)
    )
    return left + right


def _in_order(plans: list[dict]) -> list[dict]:
    """Return the plans, best first: by steps, the fewest pairs close to the best chance, then chance.

    `plans` come in the order of PATTERNS, and sorting keeps that order for ties.
    """
    best_count: dict[tuple[int, int], float] = {}
    for plan in plans:
        steps = plan["toe_steps"], plan["camber_steps"]
        best_count[steps] = max(best_count.get(steps, 0), plan["chance"])
    ordered = []
    for steps in sorted(best_count):
        group = [plan for plan in plans if (plan["toe_steps"], plan["camber_steps"]) == steps]
        close = [plan for plan in group if (best_count[steps] - plan["chance"]) * POINTS <= CLOSE_COUNT]
        first = min(close, key=lambda plan: (plan["pairs"], -plan["chance"]))
        others = sorted((plan for plan in group if plan is not first), key=lambda plan: -plan["chance"])
        ordered += [first, *others]
    return ordered
