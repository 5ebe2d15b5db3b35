"""Desk pages: asking for the cutting drawing of a ring set, and printing it at 1:1, one ring to a sheet."""

from dataclasses import dataclass

from flask import request

from calc.numbers.errors import InputError
from calc.numbers.sides import RINGS, SIDES
from calc.rings.bolt_pattern import bolts_from_json
from calc.rings.cutting import CLEARANCE_MM
from calc.rings.rings import RingSet
from server.auth import admission
from server.context import database
from server.desk.drawings.cutting_drawing import CHECK_LINE_MM, drawing_of
from server.desk.page import page
from server.desk.ring_form.ring_fields import number_from
from server.desk.sheet.job_entries import records_of
from server.records.fold import fold
from server.records.job_numbers import JobNumbers
from server.store import rings
from server.web.errors import Problem

blueprint = admission.desk_blueprint("ring_drawings", __name__)
_LONGEST = 4_000
_ASKED = ("side", *RINGS, "bolts", "clearance")


@dataclass(frozen=True)
class OfJob:
    """Whose rings are drawn: registration as typed, and what speaks against cutting by it (nothing: "")."""

    job: str
    registration: str
    doubt: str


@blueprint.get("/rings/<ring_set_id>/<int:revision>/drawing")
def ask(ring_set_id: str, revision: int):
    """What to draw: wheel, marks that meet at the top, bolts. Error: `no-such-ring-set`."""
    row, ring_set = _ring_set(ring_set_id, revision)
    typed = {"side": "left", "inner": str(ring_set.inner.first_mark), "outer": str(ring_set.outer.first_mark)}
    return page("drawing-form.html", row=row, typed=typed, flaws={}, job=None)


@blueprint.get("/rings/<ring_set_id>/<int:revision>/cut")
def show(ring_set_id: str, revision: int):
    """The drawing of `?side=`, `inner`, `outer`, and of `bolts` (lines of radius and clock) with `clearance` in mm.
    With `job` it carries whose rings these are, and where no bolts are given has those of the job. Errors:
    `no-such-ring-set`, `no-such-job`.
    """
    row, ring_set = _ring_set(ring_set_id, revision)
    typed = {name: request.args.get(name, "").strip()[:_LONGEST] for name in _ASKED}
    numbers = _numbers_of(job) if (job := request.args.get("job")) else None
    if numbers and "bolts" not in request.args:
        typed |= _bolts_of_job(numbers)
    flaws: dict[str, str] = {}
    side = typed["side"] if typed["side"] in SIDES else "left"
    pair = _pair(typed, ring_set, flaws)
    bolts, clearance_mm = _bolts(typed["bolts"], flaws), _clearance(typed["clearance"], flaws)
    if clearance_mm and any(radius <= clearance_mm / 2 for radius, _ in bolts):
        flaws["clearance"] = "Expected: less than twice the smallest radius of a bolt. Such a hole reaches the centre."
    if flaws:
        return page("drawing-form.html", row=row, typed=typed, flaws=flaws, job=job), 422
    marks = dict(zip(RINGS, pair, strict=True))
    drawings = {name: drawing_of(getattr(ring_set, name), marks[name], side, bolts, clearance_mm) for name in marks}
    return page(
        "drawing.html", row=row, side=side, marks=marks, drawings=drawings, clearance_mm=clearance_mm,
        check_line=CHECK_LINE_MM, typed=typed, of_job=numbers and _of_job(job, numbers, row, side, pair),
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


def _numbers_of(job: str) -> JobNumbers:
    """Problem: `no-such-job`."""
    with database().transaction() as connection:
        records = records_of(connection, job)
    return JobNumbers(fold([record.entry for record in records]))


def _of_job(job: str, numbers: JobNumbers, row: dict, side: str, pair: tuple[int, int]) -> OfJob:
    """A drawing with a registration on it is believed: it says so where the job has planned something else there."""
    bodies = [body for number in numbers.rounds if (body := numbers.plan_body(number))]
    fitted = bodies[-1]["plan"][side] if bodies else None
    is_planned = fitted and (fitted["ring_set"], tuple(fitted["pair"])) == (row["id"], pair)
    tables = bodies[-1].get("tables") if bodies else None
    is_revision = isinstance(tables, dict) and tables.get(row["id"]) == row["table"]
    doubt = "" if is_planned and is_revision else "The newest plan of this job has something else at this wheel."
    return OfJob(job, str(numbers.field("vehicle.registration") or "registration not given"), doubt)


def _bolts_of_job(numbers: JobNumbers) -> dict[str, str]:
    """Return the bolts that were typed on a job sheet, as the form's text; nothing where there are none."""
    given = numbers.field("vehicle.bolts")
    try:
        bolts = given["bolts"]
        text = "\n".join(f"{radius:g} {clock:g}" for radius, clock in bolts_from_json(bolts["at"], "bolts"))
    except (InputError, KeyError, TypeError):
        return {}
    thread = bolts.get("thread")
    diameter = thread.get("diameter_mm") if isinstance(thread, dict) else None
    width = CLEARANCE_MM.get(diameter) if isinstance(diameter, int | float) else None
    return {"bolts": text, "clearance": f"{width:g}" if width else ""}
