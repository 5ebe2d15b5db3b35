"""Desk pages: asking for the cutting drawing of a ring set, and printing it at 1:1, one ring to a sheet."""

from flask import request

from calc.numbers.errors import InputError
from calc.numbers.sides import RINGS, SIDES
from calc.rings.bolt_pattern import bolts_from_json
from calc.rings.cutting import CLEARANCE_MM
from calc.rings.rings import RingSet
from server import admission
from server.context import database
from server.desk.cutting_drawing import CHECK_LINE_MM, drawing_of
from server.desk.job_entries import records_of
from server.desk.page import page
from server.desk.ring_fields import number_from
from server.errors import Problem
from server.fold import fold
from server.job_numbers import JobNumbers
from server.store import rings

blueprint = admission.desk_blueprint("ring_drawings", __name__)
_LONGEST = 4_000
_ASKED = ("side", *RINGS, "bolts", "clearance")


@blueprint.get("/rings/<ring_set_id>/<int:revision>/drawing")
def ask(ring_set_id: str, revision: int):
    """What to draw: wheel, marks that meet at the top, bolts. Error: `no-such-ring-set`."""
    row, ring_set = _ring_set(ring_set_id, revision)
    typed = {"side": "left", "inner": str(ring_set.inner.first_mark), "outer": str(ring_set.outer.first_mark)}
    return page("drawing-form.html", row=row, typed=typed, flaws={})


@blueprint.get("/rings/<ring_set_id>/<int:revision>/cut")
def show(ring_set_id: str, revision: int):
    """The drawing of `?side=`, `inner`, `outer`, and of `bolts` (lines of radius and clock) with `clearance` in mm, or
    the bolts of `job`. Errors: `no-such-ring-set`, `no-such-job`.
    """
    row, ring_set = _ring_set(ring_set_id, revision)
    typed = {name: request.args.get(name, "").strip()[:_LONGEST] for name in _ASKED}
    if job := request.args.get("job"):
        typed |= _bolts_of_job(job)
    flaws: dict[str, str] = {}
    side = typed["side"] if typed["side"] in SIDES else "left"
    pair = _pair(typed, ring_set, flaws)
    bolts, clearance_mm = _bolts(typed["bolts"], flaws), _clearance(typed["clearance"], flaws)
    if clearance_mm and any(radius <= clearance_mm / 2 for radius, _ in bolts):
        flaws["clearance"] = "Expected: less than twice the smallest radius of a bolt. Such a hole reaches the centre."
    if flaws:
        return page("drawing-form.html", row=row, typed=typed, flaws=flaws), 422
    marks = dict(zip(RINGS, pair, strict=True))
    drawings = {name: drawing_of(getattr(ring_set, name), marks[name], side, bolts, clearance_mm) for name in marks}
    return page(
        "drawing.html", row=row, side=side, marks=marks, drawings=drawings, clearance_mm=clearance_mm,
        check_line=CHECK_LINE_MM, typed=typed,
    )  # fmt: skip


def _ring_set(ring_set_id: str, revision: int) -> tuple[dict, RingSet]:
    with database().transaction() as connection:
        rows = rings.revisions(connection, ring_set_id)
    row = next((each for each in rows if each["revision"] == revision), None)
    if row is None:
        raise Problem("no-such-ring-set")
    return row, RingSet.from_json(row["ring_set"])


def _pair(typed: dict[str, str], ring_set: RingSet, flaws: dict[str, str]) -> tuple[int, int] | None:
    marks = []
    for name in RINGS:
        ring = getattr(ring_set, name)
        text, last = typed[name], ring.first_mark + ring.marks - 1
        if not (text.isascii() and text.isdigit() and len(text) < 6 and ring.first_mark <= int(text) <= last):
            flaws[name] = f"Expected a mark of the {name} ring, {ring.first_mark} to {last}; got “{text}”."
            continue
        marks.append(int(text))
    return None if flaws else (marks[0], marks[1])


def _bolts(text: str, flaws: dict[str, str]) -> list[tuple[float, float]]:
    places = []
    for line, parts in enumerate((line.replace(";", " ").split() for line in text.splitlines() if line.strip()), 1):
        try:
            if len(parts) != 2:
                raise InputError("bolts", "two numbers, such as 54 45", f"“{' '.join(parts)}”")
            places.append([number_from(part.rstrip(","), "bolts") for part in parts])
            bolts_from_json(places, "bolts")
        except InputError as error:
            expected = f"radius in mm and clock in degrees; {error.expected}"
            flaws["bolts"] = f"Line {line}. Expected: {expected}. Got: {error.got}."
            return []
    return bolts_from_json(places, "bolts")


def _clearance(text: str, flaws: dict[str, str]) -> float | None:
    if not text:
        return None
    try:
        width = number_from(text, "clearance")
        if not 1 <= width <= 60:
            raise InputError("clearance", "1 to 60 mm", text)
    except InputError as error:
        flaws["clearance"] = f"Expected: {error.expected}. Got: {error.got}."
        return None
    return width


def _bolts_of_job(job: str) -> dict[str, str]:
    """Return the bolts that were typed on a job sheet, as the form's text; nothing where there are none."""
    with database().transaction() as connection:
        records = records_of(connection, job)
    given = JobNumbers(fold([record.entry for record in records])).field("vehicle.bolts")
    try:
        bolts = given["bolts"]
        text = "\n".join(f"{radius:g} {clock:g}" for radius, clock in bolts_from_json(bolts["at"], "bolts"))
    except (InputError, KeyError, TypeError):
        return {}
    thread = bolts.get("thread")
    diameter = thread.get("diameter_mm") if isinstance(thread, dict) else None
    width = CLEARANCE_MM.get(diameter) if isinstance(diameter, int | float) else None
    return {"bolts": text, "clearance": f"{width:g}" if width else ""}
