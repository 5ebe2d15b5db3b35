"""The tilt maps of a job sheet: for each round's plan and wheel, what the plan was made from and what came of it.

They are drawn from the plan's own record, so a map never changes when ring sets or settings do. No Flask, no SQL.
"""

import numpy as np

from calc.choose.chance import Fitted, covariance
from calc.choose.choose_input import spread_from_json, window_from_json
from calc.numbers.constants import READING_LIMIT_MDEG
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.rings.rings import RingSet
from calc.rings.table import effects_of, offered_of
from server.desk.drawings import tilt_map
from server.desk.sheet.sheet import Sheet
from server.desk.words import words


def maps_of(sheet: Sheet) -> list[dict]:
    """Return the maps of every plan that is agreed upon; one that cannot be drawn from its record is left out."""
    found = []
    for number in sheet.numbers.rounds:
        body = sheet.numbers.plan_body(number)
        for side in SIDES if body else ():
            try:
                found.append(_map(sheet, body, number, side))
            except (InputError, KeyError, TypeError, ValueError):
                continue  # a record of another program, or of ring sets that are not here
    return found


def _map(sheet: Sheet, body: dict, number: int, side: str) -> dict:
    asked, plan = body["input"], body["plan"]
    base = _reading(asked["wheels"][side])
    windows = {q: _window(asked["windows"][side][q], q) for q in WHEEL_ANGLES}
    sets = {key: _ring_set(sheet, key, body) for key in asked["ring_sets"]}
    camber, toe = reachable(list(sets.values()))
    predicted = (plan["predicted"][side][0], plan["predicted"][side][1])
    check = _check(sheet, number, side)
    reach = float(np.hypot(camber, toe).max()) if len(camber) else 0.0
    view = tilt_map.view_of_all(base, windows, reach, [predicted] + ([check] if check else []))
    return {
        "round": number,
        "side": side,
        "dots": tilt_map.dots_path(view, base, camber, toe),
        "box": tilt_map.window_box(view, windows),
        "ellipse": _ellipse(view, predicted, _covariance(asked, plan, sets, side)),
        "marks": {
            name: {"at": view.place(reading), "words": _words(reading), "stands": _standing(reading, windows)}
            for name, reading in (("base", base), ("predicted", predicted), ("check", check))
            if reading
        },
        "ticks": _ticks(view),
    }


def _reading(wheel: dict) -> tuple[int, int]:
    pair = wheel["camber"], wheel["toe"]
    if not all(isinstance(mdeg, int) and abs(mdeg) <= READING_LIMIT_MDEG for mdeg in pair):
        raise ValueError("no reading")
    return pair


def _window(edges, quantity: str) -> list | None:
    window_from_json(edges, quantity, READING_LIMIT_MDEG)
    return edges


def _ring_set(sheet: Sheet, key: str, body: dict) -> RingSet:
    return RingSet.from_json(sheet.ring_sets[body["tables"][key]]["ring_set"])


def reachable(sets: list[RingSet]) -> tuple[np.ndarray, np.ndarray]:
    """Return camber and toe of every pair that choosing may offer."""
    cambers, toes = [np.zeros(0)], [np.zeros(0)]
    for ring_set in sets:
        camber, toe = effects_of(ring_set)
        offered = offered_of(ring_set)
        cambers.append(camber[offered])
        toes.append(toe[offered])
    return np.concatenate(cambers), np.concatenate(toes)


def _covariance(asked: dict, plan: dict, sets: dict[str, RingSet], side: str) -> np.ndarray:
    spread = spread_from_json(asked.get("spread", {}), "spread")
    fitted = {wheel: _fitted(plan[wheel], sets) for wheel in SIDES}
    block = slice(2 * SIDES.index(side), 2 * SIDES.index(side) + 2)
    return covariance(spread, fitted)[block, block]


def _fitted(fitted: dict | None, sets: dict[str, RingSet]) -> Fitted | None:
    return fitted and Fitted(sets[fitted["ring_set"]], *fitted["pair"], tuple(fitted["effect"]))


def _check(sheet: Sheet, number: int, side: str) -> tuple[int, int] | None:
    means = sheet.numbers.means(f"round.{number}.check")
    camber, toe = (means[side, quantity] for quantity in WHEEL_ANGLES)
    return None if camber is None or toe is None else (camber, toe)


def _ellipse(view: tilt_map.View, middle, matrix: np.ndarray) -> dict:
    along, across, turn_deg = tilt_map.spread_ellipse(matrix)
    scale = tilt_map.SIZE / view.span
    x, y = view.place(middle)
    return {"x": x, "y": y, "rx": along * scale, "ry": across * scale, "turn_deg": round(turn_deg, 3)}


def _words(reading) -> str:
    return ", ".join(words.angle(mdeg, quantity) for mdeg, quantity in zip(reading, WHEEL_ANGLES, strict=True))


def _standing(reading, windows: dict) -> str:
    said = [(q, words.standing(mdeg, windows[q], q)) for mdeg, q in zip(reading, WHEEL_ANGLES, strict=True)]
    return "; ".join(f"{quantity} {stands}" for quantity, stands in said if stands)


def _ticks(view: tilt_map.View) -> dict:
    camber, toe, every = tilt_map.axis_ticks(view)
    across = [(view.place((view.camber, mdeg))[0], words.angle(mdeg, "toe")) for mdeg in toe]
    return {
        "camber": [(view.place((mdeg, view.toe))[1], words.angle(mdeg, "camber").split(" ")) for mdeg in camber],
        "toe": [(x, text.split(" ") if at % every == 0 else []) for at, (x, text) in enumerate(across)],
    }
