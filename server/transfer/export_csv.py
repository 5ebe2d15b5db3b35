"""Writes job sheets as a table for spreadsheets: one row per round and wheel, angles in whole mdeg.

The columns are documented in fixtures/schema/export-csv.json; more may come at the end, none goes or changes meaning.
Job sheets whose names were erased are in it without them: what was measured stays.

A spreadsheet computes what looks like a formula, wherever it takes a cell to begin: at the start of one, or behind what
it takes for a separator because it expects another one. An apostrophe there makes it text.
"""

import csv
import json
import re
from dataclasses import dataclass
from typing import TextIO

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from server.records.fold import fold
from server.records.job_numbers import JobNumbers
from server.records.summary import people_of, values_of
from server.store import Database, entries, rings, search
from server.web.reading_order import in_order

COLUMNS = (
    "job", "state", "registration", "vin", "vehicle", "first_day", "last_day", "people", "round", "wheel",
    "base_camber_mdeg", "base_toe_mdeg", "window_camber_low_mdeg", "window_camber_high_mdeg", "window_toe_low_mdeg",
    "window_toe_high_mdeg", "ring_set", "revision", "inner_mark", "outer_mark", "effect_camber_mdeg",
    "effect_toe_mdeg", "predicted_camber_mdeg", "predicted_toe_mdeg", "check_camber_mdeg", "check_toe_mdeg", "chance",
    "recommended", "odometer", "odometer_unit", "ring_lot", "parts_lot", "torque_nm", "torque_angle_deg",
    "torque_source",
)  # fmt: skip
# OWASP, CSV Injection (from memory): these and their full-width forms, tab, carriage return and line feed
_FORMULA = "=+\\-@\uff1d\uff0b\uff0d\uff20"
_COMPUTED = re.compile(rf"^(?=[\s\u200b\ufeff]*[{_FORMULA}\t\r\n])|(?<=[;,|\t\r\n\"])(?=[\s\u200b\ufeff]*[{_FORMULA}])")
_STATES = ("open", "stopped", "signed", "erased")


@dataclass(frozen=True)
class Form:
    """How spreadsheets of a place read tables."""

    separator: str
    decimal: str
    words: str


FORMS = {
    "comma": Form(",", ".", "commas between the cells, 0.5 with a point"),
    "semicolon": Form(";", ",", "semicolons between the cells, 0,5 with a comma"),
}


def export_csv(database: Database, out: TextIO, form: str = "comma") -> int:
    """Write all of it; return how many job sheets. Nothing that comes meanwhile is half in it. `form`: of FORMS."""
    chosen = FORMS[form]
    writer = csv.writer(out, delimiter=chosen.separator, quoting=csv.QUOTE_ALL)
    writer.writerow(COLUMNS)
    with database.snapshot() as connection:
        revisions = {row["table"]: row["revision"] for row in rings.all_sets(connection)}
        ids = search.ids_in_state(connection, _STATES)
        for job in ids:
            rows = entries.rows_of_job(connection, job)
            state = entries.job_rows(connection, [job])[job]["state"]
            for line in job_lines(job, state, [json.loads(row.raw) for row in rows], revisions):
                writer.writerow([_cell(line.get(column), chosen.decimal) for column in COLUMNS])
    return len(ids)


def job_lines(job: str, state: str, all_entries: list[dict], revisions: dict[str, int]) -> list[dict]:
    """Return the rows of one job; a job without a plan has one per wheel, with no round."""
    folded = fold(all_entries)
    numbers = JobNumbers(folded)
    days = sorted(entry["at"][:10] for entry in all_entries)
    head = {
        "job": job,
        "state": state,
        "registration": " / ".join(values_of(folded, "vehicle.registration")),
        "vin": " / ".join(values_of(folded, "vehicle.vin")),
        "vehicle": " / ".join(values_of(folded, "vehicle.description")),
        "first_day": days[0] if days else None,
        "last_day": days[-1] if days else None,
        "people": " / ".join(people_of([e for e in all_entries if e["kind"] != "consent-recorded"])),
        **_parts(numbers.field("vehicle.odometer"), odometer="number", odometer_unit="unit"),
    }
    rounds = numbers.rounds or [None]
    return [head | _wheel_line(numbers, number, side, revisions) for number in rounds for side in SIDES]


def _wheel_line(numbers: JobNumbers, number: int | None, side: str, revisions: dict[str, int]) -> dict:
    line: dict = {"round": number, "wheel": side}
    base = numbers.means("base")
    check = numbers.means(f"round.{number}.check") if number else {}
    for quantity in WHEEL_ANGLES:
        low, high = numbers.window((side, quantity)) or (None, None)
        line |= {f"base_{quantity}_mdeg": base[side, quantity], f"check_{quantity}_mdeg": check.get((side, quantity))}
        line |= {f"window_{quantity}_low_mdeg": low, f"window_{quantity}_high_mdeg": high}
    line |= _used_part(numbers, number or 1, side)
    body = numbers.plan_body(number) if number else None
    return line | (_plan_part(body, side, revisions) if body else {})


def _used_part(numbers: JobNumbers, number: int, side: str) -> dict:
    """What went in and how it was tightened, of one round; the slots of the first one bear no number."""
    prefix = f"round.{number}." if number > 1 else ""
    return {
        "ring_lot": numbers.field(f"{prefix}prepare.{side}.ring-lot"),
        "parts_lot": numbers.field(f"{prefix}choose.parts-lot"),
        **_parts(
            numbers.field(f"{prefix}fit.torque"),
            torque_nm="value_nm", torque_angle_deg="angle_deg", torque_source="source",
        ),
    }  # fmt: skip


def _parts(given, **columns: str) -> dict:
    """Return the columns from the parts of an answer, whatever a later program may have put in its place."""
    return {column: given.get(part) for column, part in columns.items()} if isinstance(given, dict) else {}


def _plan_part(body: dict, side: str, revisions: dict[str, int]) -> dict:
    plan, fitted, tables = body["plan"], body["plan"][side], body.get("tables")
    part = {
        "predicted_camber_mdeg": plan["predicted"][side][0],
        "predicted_toe_mdeg": plan["predicted"][side][1],
        "chance": plan["chance"],
        "recommended": body.get("recommended") is not False,
    }
    if fitted is None:
        return part
    table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
    marks = dict(zip(("inner_mark", "outer_mark"), fitted["pair"], strict=True))
    effect = dict(zip(("effect_camber_mdeg", "effect_toe_mdeg"), fitted["effect"], strict=True))
    known = {"ring_set": fitted["ring_set"], "revision": revisions.get(table) if isinstance(table, str) else None}
    return part | known | marks | effect


def _cell(part, decimal: str) -> str:
    if part is None or isinstance(part, dict | list):
        return ""
    if isinstance(part, bool):
        return "yes" if part else "no"
    if isinstance(part, int | float):
        return str(part).replace(".", decimal)
    return _COMPUTED.sub("'", in_order(part))
