"""The choosing rule of calc/README.md by brute force over every pair of both wheels: slow, plain, apart from calc.

It takes from calc the table and the count of points (tested by themselves) and nothing of scoring, search or order.
"""

import math

import numpy as np

from calc.choose.chance import Fitted, chance_count
from calc.choose.choose_input import request_from_json
from calc.rings.rings import RingSet
from calc.rings.table import table_of

PATTERNS = ((False, False), (True, False), (False, True), (True, True))


def wheel_options(ring_sets: list[dict], has_rings: bool):
    """Return the list of (ring set position, i, j) or None, and arrays of camber and toe effects."""
    if not has_rings:
        return [None], np.array([0]), np.array([0])
    options, cambers, toes = [], [], []
    for position, obj in enumerate(ring_sets):
        table = table_of(RingSet.from_json(obj))
        limit = obj["max_tilt_mdeg"]
        for k, (camber, toe) in enumerate(zip(table["camber"], table["toe"], strict=True)):
            if limit is None or math.hypot(camber, toe) <= limit:
                i, j = divmod(k, table["columns"])
                options.append((position, i + obj["inner"]["first_mark"], j + obj["outer"]["first_mark"]))
                cambers.append(camber)
                toes.append(toe)
    return options, np.array(cambers, dtype=np.int64), np.array(toes, dtype=np.int64)


def _edges(window):
    low, high = window
    return -math.inf if low is None else low, math.inf if high is None else high


def _over(values, window):
    if window is None:
        return np.zeros(np.shape(values))
    low, high = _edges(window)
    return np.where(values < low, low - values, np.where(values > high, values - high, 0))


def _term(values, window, aim, sd, shares=1):
    """Return one angle's part of the distance; `shares`: over how many wheels the window is spread."""
    if window is None:
        return np.zeros(np.shape(values))
    low, high = window
    if None not in window:
        middle, half = (low + high) / 2 / shares if aim is None else aim, (high - low) / 2 / shares
    else:
        edge, moved = (high, -1) if low is None else (low, 1)
        middle = (edge + moved * math.floor(2 * sd + 0.5)) / shares if aim is None else aim
        half = abs(middle - edge / shares)
    x = (values - middle) / max(50.0, half)
    return x * x


def _distance(request, side, camber, toe):
    windows, total, spread = request["windows"], request["axle"]["total_toe"], request.get("spread", {})
    own = windows[side]
    aim = own["aim"] or [None, None]
    seat, thrust = spread.get("seat_sd", 20), spread.get("thrust_sd", 15)
    reading = {
        name: {"left": sd, "right": sd} | spread.get(f"{name}_sd", {}) for name, sd in (("camber", 50), ("toe", 30))
    }
    camber_term = _term(camber, own["camber"], aim[0], math.hypot(reading["camber"][side], seat))
    if windows["left"]["toe"] is None and windows["right"]["toe"] is None and total is not None:
        sd = math.hypot(reading["toe"]["left"], reading["toe"]["right"], seat, seat)
        return _term(toe, total, None, sd, 2) + camber_term
    return _term(toe, own["toe"], aim[1], math.hypot(reading["toe"][side], seat, thrust)) + camber_term


def best_plans(request: dict, is_camber_first: bool = False) -> dict:
    """Return pattern -> (toe_steps, camber_steps, flag, distance, left option, right option), the true optimum.

    With two ring sets on the axle, the best of a single one instead where it is equal but for the distance and its
    count is at most 819 lower.
    """
    found = {}
    for pattern in PATTERNS:
        options = _options(request, pattern)
        if options is None:
            continue
        columns = _columns(request, *options, is_camber_first)
        best = _least(options, columns, np.arange(len(columns[0])))
        left, right = best[-2:]
        if left and right and left[0] != right[0]:
            best = _of_one_set(request, options, columns, best)
        found[pattern] = best
    return found


def _options(request: dict, pattern: tuple[bool, bool]):
    """Return what each wheel may get, as `wheel_options`; None where a wheel rules the pattern out or gets nothing."""
    for side, has_rings in zip(("left", "right"), pattern, strict=True):
        if request["wheels"][side]["rings"] == ("no" if has_rings else "yes"):
            return None
    options = [wheel_options(request["ring_sets"], has_rings) for has_rings in pattern]
    return options if all(each[0] for each in options) else None


def _columns(request: dict, left, right, is_camber_first: bool) -> list[np.ndarray]:
    """Return toe_steps, camber_steps (camber first if asked), flag and distance of every joint pair."""
    band = {"camber": 50, "toe": 30, **request.get("band", {})}
    wheels, windows, axle = request["wheels"], request["windows"], request["axle"]
    (_, lc, lt), (_, rc, rt) = left, right
    lc, lt = lc[:, None] + wheels["left"]["camber"], lt[:, None] + wheels["left"]["toe"]
    rc, rt = rc[None, :] + wheels["right"]["camber"], rt[None, :] + wheels["right"]["toe"]
    toe_out = _over(lt, windows["left"]["toe"]) + _over(rt, windows["right"]["toe"])
    toe_out = toe_out + _over(lt + rt, axle["total_toe"]) + _over((lt - rt) / 2, axle["thrust"])
    camber_out = _over(lc, windows["left"]["camber"]) + _over(rc, windows["right"]["camber"])
    camber_out = camber_out + _over(lc - rc, axle["cross_camber"])
    steps = [np.floor(toe_out / band["toe"]), np.floor(camber_out / band["camber"])]
    columns = [
        *(reversed(steps) if is_camber_first else steps),
        ((toe_out > 0) | (camber_out > 0)).astype(float),
        _distance(request, "left", lc, lt) + _distance(request, "right", rc, rt),
    ]
    return [np.broadcast_to(column, (len(left[0]), len(right[0]))).ravel() for column in columns]


def _least(options, columns: list[np.ndarray], among: np.ndarray) -> tuple:
    """Return the least of the joint pairs `among`, in the form of `best_plans`; options stand in the order of ties."""
    values = []
    for column in columns:
        least = column[among].min()
        among = among[column[among] == least]
        values.append(float(least))
    left, right = divmod(int(among[0]), len(options[1][0]))
    return (*values, options[0][0][left], options[1][0][right])


def _of_one_set(request: dict, options, columns: list[np.ndarray], best: tuple) -> tuple:
    positions = [np.array([option[0] for option in each[0]]) for each in options]
    is_one_set = (positions[0][:, None] == positions[1][None, :]).ravel()
    one = _least(options, columns, np.flatnonzero(is_one_set))
    is_equal = one[:3] == best[:3]
    return one if is_equal and count_of(request, best[-2:]) - count_of(request, one[-2:]) <= 819 else best


def count_of(request: dict, options: tuple) -> int:
    """Return the count of points of a plan, given as what each wheel gets."""
    checked = request_from_json(request)
    fitted, predicted = {}, {}
    for side, option in zip(("left", "right"), options, strict=True):
        wheel = checked.wheels[side]
        fitted[side], predicted[side] = None, (wheel.camber, wheel.toe)
        if option is not None:
            position, i, j = option
            ring_set = checked.ring_sets[position]
            table = table_of(ring_set)
            k = (i - ring_set.inner.first_mark) * table["columns"] + j - ring_set.outer.first_mark
            effect = table["camber"][k], table["toe"][k]
            fitted[side] = Fitted(ring_set, i, j, effect)
            predicted[side] = wheel.camber + effect[0], wheel.toe + effect[1]
    return chance_count(checked, predicted, fitted)


def needless_of(request: dict, options: tuple) -> int:
    """Return how many wheels are opened whose base is inside its own windows by an SD in both angles."""
    wheels, axle = request["wheels"], request["axle"]
    left, right = wheels["left"], wheels["right"]
    toe_out = _over(left["toe"] + right["toe"], axle["total_toe"])
    toe_out = toe_out + _over((left["toe"] - right["toe"]) / 2, axle["thrust"])
    broken = {"camber": _over(left["camber"] - right["camber"], axle["cross_camber"]) > 0, "toe": toe_out > 0}
    count = 0
    for side, option in zip(("left", "right"), options, strict=True):
        is_inside = True
        for part, usual in (("camber", 50), ("toe", 30)):
            window, angle = request["windows"][side][part], wheels[side][part]
            sd = request.get("spread", {}).get(f"{part}_sd", {}).get(side, usual)
            if window is None:
                is_inside = is_inside and not broken[part]
            else:
                low, high = _edges(window)
                is_inside = is_inside and low + sd <= angle <= high - sd
        count += option is not None and is_inside
    return count


def in_order(request: dict, plans: dict) -> list[tuple]:
    """Return the patterns of `best_plans` in the order in which their plans are shown."""
    facts = {}
    for place, (pattern, plan) in enumerate(plans.items()):
        needless = needless_of(request, plan[-2:])
        in_vain = needless > 0 and plan[2] > 0
        facts[pattern] = (in_vain, plan[0], plan[1]), needless, sum(pattern), count_of(request, plan[-2:]), place
    left, ordered = dict(facts), []
    while left:
        first = min(fact[:2] for fact in left.values())
        equal = {pattern: fact for pattern, fact in left.items() if fact[:2] == first}
        most = max(fact[3] for fact in equal.values())
        close = [pattern for pattern, fact in equal.items() if most - fact[3] <= 819]
        shown = [min(close, key=lambda pattern: (facts[pattern][2], -facts[pattern][3], facts[pattern][4]))]
        rest = [pattern for pattern in equal if pattern != shown[0]]
        ordered += shown + sorted(rest, key=lambda pattern: (-facts[pattern][3], facts[pattern][4]))
        left = {pattern: fact for pattern, fact in left.items() if pattern not in equal}
    rivals = [pattern for pattern in ordered if facts[pattern][0] == facts[ordered[0]][0]]
    most = max(facts[pattern][3] for pattern in rivals)
    first = next(pattern for pattern in rivals if 2 * facts[pattern][3] >= most)
    return [first, *(pattern for pattern in ordered if pattern != first)]


def plans_of(output: dict, request: dict) -> dict:
    """Return `choose`'s output in the form of `best_plans`, in its order."""
    return {tuple(option is not None for option in plan[-2:]): plan for plan in in_options(output["plans"], request)}


def in_options(plans: list[dict], request: dict, is_camber_first: bool = False) -> list[tuple]:
    """Return plans as `choose` puts them out in the form of the values of `best_plans`."""
    positions = {obj["id"]: place for place, obj in enumerate(request["ring_sets"])}
    found = []
    for plan in plans:
        options = [
            plan[side] and (positions[plan[side]["ring_set"]], *plan[side]["pair"]) for side in ("left", "right")
        ]
        flag = float(plan["toe_outside"] > 0 or plan["camber_outside"] > 0)
        steps = [float(plan["toe_steps"]), float(plan["camber_steps"])]
        found.append((*(reversed(steps) if is_camber_first else steps), flag, plan["distance"], *options))
    return found
