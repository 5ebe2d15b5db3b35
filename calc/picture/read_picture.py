"""What touches on a picture of a fitted ring say: which mark stands at the line, which turn of the bolts, which face.

Numbers that are touched and the line settle all three: the line is the painted top, whatever hangs how. Which way the
marked face looks follows from the side that the picture was taken from and the way the numbers run there. It claims no
angle, and where the touches do not settle something it says so (calc/README: Pictures).
"""

import math

from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_number
from calc.numbers.rounding import to_decimals
from calc.numbers.sides import SIDES
from calc.picture.rim_fit import RimFit, fit_rim
from calc.rings.rings import FACES, Ring, clock_sense, marked_face

VIEWS = ("outside", "behind")
LEAST_MARKS = 3
MOST_MARKS = 4
MOST_PIXELS = 20_000
# The line against the mark that it is painted at, SD in steps: as two marks are lined up (calc/README: Choosing).
LINE_SD_STEPS = 0.15
MOST_MISFIT = 27.0  # squared touch SDs with 3 degrees of freedom; 16.3 would be one good picture in a thousand
LEAST_APART = 25.0  # by how much the other way round must fit worse
MOST_TILT_DEG = 40.0
SURE = 0.8  # share of one mark among all, from which on it is said
RULED_OUT = 0.01  # a mark with less than this share does not stand there
_EVERY = ((30, 5), (12, 2), (0, 1))  # marks of a ring -> which numbers are asked for


def read_picture(obj) -> dict:
    """Return what the touches say, held against the plan. Raises InputError naming the field.

    `obj`: `{"ring", "wheel", "from": outside or behind, "size": [width, height], "line": [x, y], "marks": [[mark, x,
    y]], "planned": marks that the plan allows there, "turns": the bolt pattern's, degrees}`; pixels from the upper
    left. Returns `{"verdict": agrees, differs or cannot-tell, "why", "mark", "between", "looks", "face", "turn_deg",
    "at_line"}`; what is not known is None.
    """
    ring, wheel = _checked(obj)
    fit, sense, why = _seen(obj, ring)
    if why is not None:
        return _answer("cannot-tell", why)
    at_line = (sense * fit.line_rad / ring.step_rad) % ring.marks
    shares = mark_shares(at_line, _spread_steps(fit, ring), ring.marks)
    looks = _looks(ring, obj["from"], sense)
    is_as_planned = looks == marked_face(ring, wheel)
    known = {
        "looks": looks,
        "face": "as-planned" if is_as_planned else "other-way",
        "turn_deg": _turn(ring, is_as_planned, at_line, obj["planned"], obj["turns"]),
        "at_line": to_decimals(ring.first_mark + at_line, 2),
    }
    best = max(shares, key=shares.get)
    if shares[best] >= SURE:
        agrees = is_as_planned and ring.first_mark + best in obj["planned"]
        why = None if agrees else "mark" if is_as_planned else "face"
        return _answer("agrees" if agrees else "differs", why, mark=ring.first_mark + best, **known)
    second = max((mark for mark in shares if mark != best), key=shares.get)
    between = [ring.first_mark + mark for mark in sorted((best, second))]
    is_other = all(shares.get(mark - ring.first_mark, 0.0) < RULED_OUT for mark in obj["planned"])
    if not is_as_planned or is_other:
        return _answer("differs", "mark" if is_as_planned else "face", between=between, **known)
    return _answer("cannot-tell", "between-marks", between=between, **known)


def marks_to_touch(ring: Ring) -> list[list[int]]:
    """Return for each quarter of a ring the numbers to ask for, the first in the middle of it: round ones, spread out.

    None of them depends on the plan, so that what is touched proves something.

    >>> marks_to_touch(Ring(54, 1, "clockwise", "inboard", 500, 8, 1.0, 2.4, 148.0, 62.0))
    [[10, 5], [20, 25, 15], [35, 30, 40], [50, 45]]
    """
    every = next(every for least, every in _EVERY if ring.marks >= least)
    asked = [mark for mark in ring.mark_numbers.tolist() if mark % every == 0]
    quarters = []
    for k in range(4):
        middle = ring.first_mark + ring.marks * (2 * k + 1) / 8
        near = [mark for mark in asked if abs(mark - middle) <= ring.marks / 8]
        quarters.append(sorted(near, key=lambda mark, middle=middle: (abs(mark - middle), mark)))
    return quarters


def mark_shares(at_line: float, spread: float, marks: int) -> dict[int, float]:
    """Return how likely each mark near the line stands there, counted from the first; the line is painted at a mark."""
    near = [math.floor(at_line) + step for step in range(-3, 5)]
    weights = {mark: math.exp(-(((mark - at_line) / spread) ** 2) / 2) for mark in near}
    total = sum(weights.values())
    if total < 1e-12:  # a spread so small that even the nearest one does not explain it: half way between two
        return {near[3] % marks: 0.5, near[4] % marks: 0.5}
    shares: dict[int, float] = {}
    for mark, weight in weights.items():
        shares[mark % marks] = shares.get(mark % marks, 0.0) + weight / total
    return shares


def _checked(obj) -> tuple[Ring, str]:
    check_keys(obj, "", ("ring", "wheel", "from", "size", "line", "marks", "planned", "turns"))
    ring = Ring.from_json(obj["ring"])
    check_choice(obj["from"], "from", VIEWS)
    for k, side in enumerate(check_list(obj["size"], "size", 2, 2)):
        check_integer(side, f"size[{k}]", 1, MOST_PIXELS)
    _check_point(obj["line"], "line")
    last = ring.first_mark + ring.marks - 1
    for k, touch in enumerate(check_list(obj["marks"], "marks", LEAST_MARKS, MOST_MARKS)):
        check_list(touch, f"marks[{k}]", 3, 3)
        check_integer(touch[0], f"marks[{k}][0]", ring.first_mark, last)
        _check_point(touch[1:], f"marks[{k}]")
    for k, mark in enumerate(check_list(obj["planned"], "planned", 1, 2)):
        check_integer(mark, f"planned[{k}]", ring.first_mark, last)
    for k, turn in enumerate(check_list(obj["turns"], "turns", 0, 24)):
        check_number(turn, f"turns[{k}]", 0, 360)
    return ring, check_choice(obj["wheel"], "wheel", SIDES)


def _check_point(point, field: str) -> None:
    for k, pixel in enumerate(check_list(point, field, 2, 2)):
        check_number(pixel, f"{field}[{k}]", 0, MOST_PIXELS)


def _seen(obj, ring: Ring) -> tuple[RimFit | None, int, str | None]:
    """Return (fit, 1 where the numbers run clockwise as seen, else -1, why nothing can be told)."""
    numbers = [mark - ring.first_mark for mark, _, _ in obj["marks"]]
    touched = [touch[1:] for touch in obj["marks"]]
    fits = {}
    for sense in (1, -1):
        angles = [sense * number * ring.step_rad for number in numbers]
        fits[sense] = fit_rim(angles, touched, obj["line"], obj["size"], ring.outer_diameter_mm / 2)
    if None in fits.values():
        return None, 0, "touches-apart"
    sense = 1 if fits[1].misfit <= fits[-1].misfit else -1
    fit = fits[sense]
    if fit.misfit > MOST_MISFIT:
        return fit, sense, "touches-apart"
    if fits[-sense].misfit - fit.misfit < LEAST_APART:
        return fit, sense, "which-way"
    return fit, sense, "slanted" if fit.tilt_deg > MOST_TILT_DEG else None


def _spread_steps(fit: RimFit, ring: Ring) -> float:
    """Return the SD of the line among the marks, in steps; touches that fit badly are believed less."""
    sd = fit.line_sd_rad / ring.step_rad
    return math.sqrt(sd * sd * max(1.0, fit.misfit / fit.freedom) + LINE_SD_STEPS * LINE_SD_STEPS)


def _looks(ring: Ring, view: str, sense: int) -> str:
    """Return which way the marked face looks: to where its numbers run as they do on it."""
    is_to_viewer = (sense == 1) == (ring.direction == "clockwise")
    return FACES[1] if is_to_viewer == (view == "outside") else FACES[0]


def _turn(ring: Ring, is_as_planned: bool, at_line: float, planned: list[int], turns: list[float]) -> float | None:
    """Return the turn of the bolt pattern, 0 for none, that brings a planned mark nearest to where it stands.

    None where no pattern is known.
    """
    if not turns:
        return None
    sense = clock_sense(ring) * (1 if is_as_planned else -1)
    best = None
    for mark in planned:
        stands = sense * (mark - ring.first_mark - at_line) * math.degrees(ring.step_rad)
        for turn in (0.0, *turns):
            off = abs((stands - turn + 180.0) % 360.0 - 180.0)
            if best is None or off < best[0] - 1e-6:
                best = off, turn
    return best[1]


def _answer(verdict: str, why: str | None, mark=None, between=None, **known) -> dict:
    nothing = {"looks": None, "face": None, "turn_deg": None, "at_line": None}
    return {"verdict": verdict, "why": why, "mark": mark, "between": between, **nothing, **known}
