"""The choosing rule of DEVELOPERS by brute force over every pair of both wheels: slow, plain, apart from calc.

It takes from calc the table (tested by itself) and nothing of scoring, search or order.
"""

import math

import numpy as np

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


def _over(values, window):
    if window is None:
        return np.zeros(np.shape(values))
    return np.where(values < window[0], window[0] - values, np.where(values > window[1], values - window[1], 0))


def _term(values, window, aim):
    if window is None:
        return np.zeros(np.shape(values))
    middle = (window[0] + window[1]) / 2 if aim is None else aim
    x = (values - middle) / max(50.0, (window[1] - window[0]) / 2)
    return x * x


def _distance(request, side, camber, toe):
    windows, total = request["windows"], request["axle"]["total_toe"]
    own = windows[side]
    aim = own["aim"] or [None, None]
    toe_window, toe_aim = own["toe"], aim[1]
    if windows["left"]["toe"] is None and windows["right"]["toe"] is None and total is not None:
        toe_window, toe_aim = [total[0] / 2, total[1] / 2], None
    return _term(toe, toe_window, toe_aim) + _term(camber, own["camber"], aim[0])


def best_plans(request: dict) -> dict:
    """Return pattern -> (toe_steps, camber_steps, flag, distance, left option, right option), the true optimum."""
    band = {"camber": 50, "toe": 30, **request.get("band", {})}
    wheels, windows, axle = request["wheels"], request["windows"], request["axle"]
    found = {}
    for pattern in PATTERNS:
        if any(
            wheels[s]["rings"] == ("no" if has else "yes") for s, has in zip(("left", "right"), pattern, strict=True)
        ):
            continue
        (left_options, lc, lt), (right_options, rc, rt) = (wheel_options(request["ring_sets"], has) for has in pattern)
        if not left_options or not right_options:
            continue
        lc, lt = lc[:, None] + wheels["left"]["camber"], lt[:, None] + wheels["left"]["toe"]
        rc, rt = rc[None, :] + wheels["right"]["camber"], rt[None, :] + wheels["right"]["toe"]
        toe_out = _over(lt, windows["left"]["toe"]) + _over(rt, windows["right"]["toe"])
        toe_out = toe_out + _over(lt + rt, axle["total_toe"]) + _over((lt - rt) / 2, axle["thrust"])
        camber_out = _over(lc, windows["left"]["camber"]) + _over(rc, windows["right"]["camber"])
        camber_out = camber_out + _over(lc - rc, axle["cross_camber"])
        keys = [
            np.floor(toe_out / band["toe"]),
            np.floor(camber_out / band["camber"]),
            ((toe_out > 0) | (camber_out > 0)).astype(float),
            _distance(request, "left", lc, lt) + _distance(request, "right", rc, rt),
        ]
        keys = [np.broadcast_to(key, (len(left_options), len(right_options))).ravel() for key in keys]
        among = np.arange(len(keys[0]))
        values = []
        for key in keys:
            least = key[among].min()
            among = among[key[among] == least]
            values.append(float(least))
        left, right = divmod(int(among[0]), len(right_options))  # options stand in the order of the ties
        found[pattern] = (*values, left_options[left], right_options[right])
    return found


def plans_of(output: dict, request: dict) -> dict:
    """Return `choose`'s output in the form of `best_plans`."""
    positions = {obj["id"]: place for place, obj in enumerate(request["ring_sets"])}
    found = {}
    for plan in output["plans"]:
        options = [
            plan[side] and (positions[plan[side]["ring_set"]], *plan[side]["pair"]) for side in ("left", "right")
        ]
        flag = float(plan["toe_outside"] > 0 or plan["camber_outside"] > 0)
        key = float(plan["toe_steps"]), float(plan["camber_steps"]), flag, plan["distance"]
        found[tuple(option is not None for option in options)] = (*key, *options)
    return found
