"""Which rings, at which marks, on which wheel: the true joint optimum over all pairs of both wheels.

How it is found quickly, and why it is exact, stands in joint_search.py; what is better than what, in outside.py,
wheel_aim.py and plan_order.py. This module sets up the four fit patterns and adds chance and advice.

In short, for whoever mirrors it: the candidates of a wheel are all index pairs of all ring sets in order (ring set
position, i, j), that order being their rank; duplicates in (camber, toe) keep the smallest rank; the candidate of a
wheel without rings is the one effect (0, 0). Each pattern is one search over (left candidates) x (right candidates)
for the least (toe_steps, camber_steps, 0 or 1, distance, left rank, right rank). Any search that finds that minimum
gives the same plans, because no two pairs have equal keys. Where the best of two wheels uses two ring sets, each set
by itself is searched the same way among what is equal in the first three. The other way is the same rule with camber
first.
"""

from calc.choose.advice import advice_of
from calc.choose.base_reading import is_safely_inside
from calc.choose.chance import Fitted, chance_count
from calc.choose.choose_input import Request, Wheel, request_from_json
from calc.choose.effect_index import NO_RINGS, index_of, tree_of, trees_of_each
from calc.choose.joint_search import CAMBER_FIRST, TOE_FIRST, Found, best_pair
from calc.choose.normal_points import POINTS
from calc.choose.outside import camber_terms, outside, toe_terms
from calc.choose.plan_order import in_order, is_close
from calc.choose.wheel_aim import aims_json, aims_of, distance_of
from calc.numbers.errors import InputError
from calc.numbers.sides import SIDES

# In the order of the last ties: none, left, right, both.
PATTERNS = ((), SIDES[:1], SIDES[1:], SIDES)  # none, left only, right only, both


def choose(choose_input: dict) -> dict:
    """Return `{"advice": [...], "plans": [...], "other_way": plan or None, "aims": {...}}` for an input object.

    The recommended plan is the first. All angles are whole mdeg, except thrust and toe_outside, which may end in .5.
    Each allowed fit pattern has one plan. Where the recommended plan leaves anything outside, `other_way` is the plan
    of the same pattern that spares camber before toe; None where it is the same. Raises InputError for input that is
    not as expected, and where `rings` is "yes" but no ring set offers an index pair. `aims` says what each angle of
    each wheel aims at and whence: a window open on one side has its edge moved in.

    `untrusted` in the input names ring sets whose data the measuring could not vouch for, each with its doubts. Such a
    set is in no plan unless `put_in` names it; a plan that then uses it has `doubts`, {ring set: codes}, and no other
    plan has that key.
    """
    request = request_from_json(choose_input)
    plans = in_order([_plan(request, pattern, TOE_FIRST) for pattern in _allowed_patterns(request)])
    return {
        "advice": advice_of(request, plans),
        "plans": plans,
        "other_way": _other_way(request, plans[0]),
        "aims": aims_json(request),
    }


def _other_way(request: Request, recommended: dict) -> dict | None:
    if recommended["toe_outside"] == recommended["camber_outside"] == 0:
        return None
    pattern = tuple(side for side in SIDES if recommended[side] is not None)
    other = _plan(request, pattern, CAMBER_FIRST)
    return None if all(other[side] == recommended[side] for side in SIDES) else other


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


def _plan(request: Request, pattern: tuple[str, ...], order: str) -> dict:
    """Return the best plan of one fit pattern, as it is put out.

    Where it uses two ring sets, the best one of a single set takes its place if that is as good but for the distance
    and its chance is close: one set is simpler to stock and to fit.
    """
    trees = [tree_of(request.ring_sets, *_uses(request, side)) if side in pattern else NO_RINGS for side in SIDES]
    found = best_pair(request, *trees, order)
    best = _plan_at(request, pattern, found)
    if pattern != SIDES or best["left"]["ring_set"] == best["right"]["ring_set"]:
        return best
    of_one_set = _best_of_one_set(request, found, order)
    if of_one_set is None:
        return best
    simpler = _plan_at(request, pattern, of_one_set)
    return simpler if is_close(best["chance"], simpler["chance"]) else best


def _best_of_one_set(request: Request, found: Found, order: str) -> Found | None:
    """Return the best result of both wheels that uses one ring set alone and has the grade of `found`; None without."""
    best, bound = None, found.at_any_distance()
    for left, right in zip(*(trees_of_each(request.ring_sets, *_uses(request, side)) for side in SIDES), strict=True):
        better = best_pair(request, left, right, order, bound)
        if better is not None:
            best = bound = better
    return best


def _uses(request: Request, side: str) -> tuple[bool, bool]:
    """Return whether a wheel's camber and its toe enter any window: else they are no reason to tell two pairs apart."""
    wheel, axle = request.wheels[side], request.axle
    uses_camber = (wheel.camber_window or axle.cross_camber) is not None
    return uses_camber, (wheel.toe_window or axle.total_toe or axle.thrust) is not None


def _plan_at(request: Request, pattern: tuple[str, ...], found: Found) -> dict:
    ranks = {"left": found.left_rank, "right": found.right_rank}
    return _judged(request, {side: _fitted(request, ranks[side]) if side in pattern else None for side in SIDES})


def _judged(request: Request, fitted: dict[str, Fitted | None]) -> dict:
    """Return a plan as it is put out, with its scores, distance and chance."""
    predicted = {side: _predicted(request.wheels[side], fitted[side]) for side in SIDES}
    opened = [side for side in SIDES if fitted[side] is not None]
    return {
        **{side: _rings_json(fitted[side]) for side in SIDES},
        "predicted": {side: list(predicted[side]) for side in SIDES},
        **_scores(request, predicted),
        "needless": sum(is_safely_inside(request, side) for side in opened),
        "pairs": len(opened),
        "distance": _distance(request, predicted),
        "chance": chance_count(request, predicted, fitted) / POINTS,
        **_doubts_of(request, fitted),
    }


def _doubts_of(request: Request, fitted: dict[str, Fitted | None]) -> dict:
    used = {rings.ring_set.id for rings in fitted.values() if rings is not None}
    doubts = {name: codes for name, codes in request.doubts.items() if name in used}
    return {"doubts": doubts} if doubts else {}


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
