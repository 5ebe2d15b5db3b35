"""Measure a ring set: from thickness readings of the real rings, or from the paper that came with them.

Any shop can so use the rings that it buys. Says whether the result may be trusted for choosing, and why not.
"""

import cmath
import math

import numpy as np

from calc.measure.measure_paper import Verdict, judge
from calc.measure.measure_rings import (
    MOST_MARK_SE_STEPS,
    MOST_TAPER_SE_MDEG,
    ring_from_readings,
    ring_or_problem,
)
from calc.measure.paper_fit import Rows
from calc.measure.paper_units import paper_units_from_json
from calc.measure.printed_steps import off_step
from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_text, shown
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.rounding import to_decimals
from calc.numbers.sides import RINGS
from calc.rings.rings import DIRECTIONS, MARKS_HIGH, MARKS_LOW, Ring, RingSet, clock_sense

_SET_KEYS = ("id", "name")
ROWS_SAY = ("effects", "wanted-changes")
_PAPER_SHAPE = (
    "marks",
    "first_mark",
    "marked_face_right",
    "centre_thickness_mm",
    "outer_diameter_mm",
    "bore_diameter_mm",
)


def measure(obj: dict) -> dict:
    """Return `{"from", "rings": {"inner", "outer"}, "rows", "steps", "trustworthy", "reasons", "ring_set"}`.

    Input `{"from": "thickness", "id", "name", "inner", "outer"}`, each ring as in measure_rings, or `{"from": "paper",
    "id", "name", "inner", "outer", "units", "rows"}`: each ring's shape, with `direction` where somebody has looked
    which way its numbers run; units as in paper_units; rows `{"pair", "camber", "toe"}` as printed; `rows_say`
    "effects", what each pair does (the default), or "wanted-changes", each with the pair that comes nearest.
    `max_tilt_mdeg` may be given. Of a paper, `rows` say how far each is off what the rows that agree say, in mdeg, and
    whether it fits; `steps` are those of camber and toe that it is printed in, in mdeg; both are null for thickness.
    `reasons` are `{"ring", "code"}`. `ring_set` is ready to use, revision 1; null where a ring could not be made.
    Raises InputError naming the field.

    What rows can never show: the signs of both columns told the wrong way (every effect then points the other way), and
    the sign of one where nobody told `direction` (a mirrored set fits mirrored rows).
    """
    if not isinstance(obj, dict):
        raise InputError("input", "an object", shown(obj))
    source = check_choice(obj.get("from"), "from", ("thickness", "paper"))
    rings, reasons, rows, steps = _from_thickness(obj) if source == "thickness" else _from_paper(obj)
    return {
        "from": source,
        "rings": rings,
        "rows": rows,
        "steps": steps,
        "trustworthy": not reasons,
        "reasons": reasons,
        "ring_set": _ring_set(obj, rings),
    }


def _ring_set(obj: dict, rings: dict) -> dict | None:
    """Return the ring set's JSON, checked by reading it as one; its name and limit are checked in any case."""
    check_text(obj["id"], "id", 80)
    check_text(obj["name"], "name", 80)
    tilt = obj.get("max_tilt_mdeg")
    if tilt is not None:
        check_integer(tilt, "max_tilt_mdeg", 1, 10_000)
    if any(rings[name]["ring"] is None for name in RINGS):
        return None
    head = {"format": 1, "id": obj["id"], "name": obj["name"], "revision": 1, "max_tilt_mdeg": tilt}
    return RingSet.from_json({**head, **{name: rings[name]["ring"] for name in RINGS}}).to_json()


def _from_thickness(obj: dict) -> tuple[dict, list[dict], None, None]:
    check_keys(obj, "", ("from", *_SET_KEYS, *RINGS), ("max_tilt_mdeg",))
    rings, reasons = {}, []
    for name in RINGS:
        report = ring_from_readings(obj[name], name)
        reasons += [{"ring": name, "code": code} for code in report.pop("reasons")]
        rings[name] = report
    return rings, reasons, None, None


def _from_paper(obj: dict) -> tuple[dict, list[dict], list[dict], dict]:
    check_keys(obj, "", ("from", *_SET_KEYS, *RINGS, "units", "rows"), ("max_tilt_mdeg", "rows_say"))
    rows_say = check_choice(obj.get("rows_say", "effects"), "rows_say", ROWS_SAY)
    shapes = {name: _shape(obj[name], name) for name in RINGS}
    units = paper_units_from_json(obj["units"])
    turns, effects = _turns(obj["rows"], shapes), units.effects(obj["rows"])
    steps = units.steps(obj["rows"])
    rows = Rows(*turns, np.array(effects), units.sds_mdeg(steps))
    marks = tuple(shapes[name]["marks"] for name in RINGS)
    verdict = judge(rows, marks if rows_say == "wanted-changes" else None)
    off = [
        any(parts)
        for parts in zip(*(off_step(units.values(p, obj["rows"]), steps[p]) for p in WHEEL_ANGLES), strict=True)
    ]
    codes = [*verdict.reasons, *(["value-off-step"] if any(off) else [])]
    reasons = [{"ring": None, "code": code} for code in codes]
    rings = {}
    for k, name in enumerate(RINGS):
        rings[name] = _ring_report(shapes[name], verdict, k, name)
        reasons += [{"ring": name, "code": code} for code in rings[name].pop("reasons")]
    steps_mdeg = {part: to_decimals(units.step_mdeg(part, steps[part]), 1) for part in WHEEL_ANGLES}
    return rings, reasons, _row_report(obj["rows"], rows, verdict, off), steps_mdeg


def _shape(obj, field: str) -> dict:
    """Return one ring's typed shape, checked as far as the rows do not settle it; `direction` null where not told."""
    check_keys(obj, field, _PAPER_SHAPE, ("direction",))
    check_integer(obj["marks"], f"{field}.marks", MARKS_LOW, MARKS_HIGH)
    direction = obj.get("direction")
    known = {**obj, "direction": "clockwise" if direction is None else direction}
    Ring.from_json({**known, "taper_mdeg": 1, "taper_sd_mdeg": 1, "thick_mark": 0.0}, field)
    return {**obj, "direction": direction}


def _turns(value, shapes: dict) -> tuple[np.ndarray, np.ndarray]:
    """Return the angle of each row's mark, from mark 0 in rising numbers, of the inner and of the outer ring (n,)."""
    turns = []
    for k, row in enumerate(check_list(value, "rows", 4, 2000)):
        field = f"rows[{k}]"
        check_keys(row, field, ("pair", *WHEEL_ANGLES))
        turn = []
        for place, (mark, name) in enumerate(zip(check_list(row["pair"], f"{field}.pair", 2, 2), RINGS, strict=True)):
            first, marks = shapes[name]["first_mark"], shapes[name]["marks"]
            check_integer(mark, f"{field}.pair[{place}]", first, first + marks - 1)
            turn.append(2 * math.pi * mark / marks)
        turns.append(turn)
    inner, outer = np.array(turns).T
    return inner, outer


def _ring_report(shape: dict, verdict: Verdict, place: int, name: str) -> dict:
    """Return one ring: taper, thick mark, direction, standard errors, the ring's JSON (or null) and what is wrong."""
    sigma, arrow = verdict.solution.sigma[place], verdict.solution.arrows[place]
    error, across = (error * verdict.scatter for error in verdict.solution.errors[place])
    first, marks, size = shape["first_mark"], shape["marks"], abs(arrow)
    direction = _direction(shape["marked_face_right"], sigma)
    mark = to_decimals((sigma * cmath.phase(arrow) / (2 * math.pi) * marks - first) % marks + first, 2)
    mark_se = None if across >= size else across / size / (2 * math.pi) * marks
    typed = {key: shape[key] for key in _PAPER_SHAPE if key != "centre_thickness_mm"} | {"direction": direction}
    ring, problem = ring_or_problem(typed, size, error, mark, shape["centre_thickness_mm"], name)
    uncertain = {
        "taper-uncertain": error > MOST_TAPER_SE_MDEG,
        "thick-mark-uncertain": mark_se is None or mark_se > MOST_MARK_SE_STEPS,
        "direction-contradicted": verdict.settles_direction and shape["direction"] not in (None, direction),
        problem: problem is not None,
    }
    return {
        "taper_mdeg": to_decimals(size, 1),
        "taper_se_mdeg": to_decimals(error, 1),
        "thick_mark": mark,
        "thick_mark_se": None if mark_se is None else to_decimals(mark_se, 2),
        "direction": direction,
        "ring": ring,
        "reasons": [code for code, applies in uncertain.items() if applies],
    }


def _direction(marked_face_right: str, sigma: int) -> str:
    """Return the way of the numbers that gives this sigma with the marked face as it was seen."""
    for direction in DIRECTIONS:
        ring = Ring(4, 1, direction, marked_face_right, 1, 1, 1.0, 2.0, 100.0, 50.0)
        if clock_sense(ring) == sigma:
            return direction
    raise InputError("marked_face_right", "inboard or outboard", marked_face_right)


def _row_report(typed: list[dict], rows: Rows, verdict: Verdict, off: list[bool]) -> list[dict]:
    """Return per row how far it is off the solution in mdeg, and whether it fits: it agrees, and is on the step."""
    misses = verdict.solution.misses(rows)
    return [
        {
            "pair": row["pair"],
            "camber_off": to_decimals(float(miss.real), 1),
            "toe_off": to_decimals(float(miss.imag), 1),
            "fits": bool(fits) and not is_off,
        }
        for row, miss, fits, is_off in zip(typed, misses, verdict.fits, off, strict=True)
    ]
