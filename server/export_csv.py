"""Writes job sheets as a table for spreadsheets: one row per round and wheel, angles in whole mdeg.

The columns are documented in fixtures/schema/export-csv.json; more may come at the end, none goes or changes meaning.
Job sheets whose names were erased are in it without them: what was measured stays.
"""

import csv
import json
from typing import TextIO

from calc.numbers.quantities import PARTS
from calc.numbers.sides import SIDES
from server.figures import Figures
from server.fold import fold
from server.store import Database, entries, rings, search
from server.summary import people_of, values_of

COLUMNS = (
    "job", "state", "registration", "vin", "vehicle", "first_day", "last_day", "people", "round", "wheel",
    "base_camber", "base_toe", "window_camber_low", "window_camber_high", "window_toe_low", "window_toe_high",
    "ring_set", "revision", "inner_mark", "outer_mark", "effect_camber", "effect_toe",
    "predicted_camber", "predicted_toe", "check_camber", "check_toe", "chance", "recommended",
)  # fmt: skip
_LOOKS_LIKE_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_STATES = ("open", "stopped", "signed", "erased")


def export_csv(database: Database, out: TextIO) -> int:
    """Write all of it; return how many job sheets. Nothing that comes meanwhile is half in it."""
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    with database.snapshot() as connection:
        revisions = {row["table"]: row["revision"] for row in rings.all_sets(connection)}
        ids = search.ids_in_state(connection, _STATES)
        for job in ids:
            rows = entries.rows_of_job(connection, job)
            state = entries.job_rows(connection, [job])[job]["state"]
            for line in job_lines(job, state, [json.loads(row.raw) for row in rows], revisions):
                writer.writerow([_cell(line.get(column)) for column in COLUMNS])
    return len(ids)


def job_lines(job: str, state: str, all_entries: list[dict], revisions: dict[str, int]) -> list[dict]:
    """Return the rows of one job; a job without a plan has one per wheel, with no round."""
    folded = fold(all_entries)
    figures = Figures(folded)
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
    }
    rounds = figures.rounds or [None]
    return [head | _wheel_line(figures, number, side, revisions) for number in rounds for side in SIDES]


def _wheel_line(figures: Figures, number: int | None, side: str, revisions: dict[str, int]) -> dict:
    line: dict = {"round": number, "wheel": side}
    base = figures.means("base")
    check = figures.means(f"round.{number}.check") if number else {}
    for quantity in PARTS:
        low, high = figures.window((side, quantity)) or (None, None)
        line |= {f"base_{quantity}": base[side, quantity], f"check_{quantity}": check.get((side, quantity))}
        line |= {f"window_{quantity}_low": low, f"window_{quantity}_high": high}
    body = figures.plan_body(number) if number else None
    return line | (_plan_part(body, side, revisions) if body else {})


def _plan_part(body: dict, side: str, revisions: dict[str, int]) -> dict:
    plan, fitted, tables = body["plan"], body["plan"][side], body.get("tables")
    part = {
        "predicted_camber": plan["predicted"][side][0],
        "predicted_toe": plan["predicted"][side][1],
        "chance": plan["chance"],
        "recommended": body.get("recommended") is not False,
    }
    if fitted is None:
        return part
    table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
    marks = dict(zip(("inner_mark", "outer_mark"), fitted["pair"], strict=True))
    effect = dict(zip(("effect_camber", "effect_toe"), fitted["effect"], strict=True))
    known = {"ring_set": fitted["ring_set"], "revision": revisions.get(table) if isinstance(table, str) else None}
    return part | known | marks | effect


def _cell(part) -> str | int | float:
    """Return a cell; a text that a spreadsheet would compute gets an apostrophe in front, so that it stays text."""
    if part is None:
        return ""
    if isinstance(part, bool):
        return "yes" if part else "no"
    if isinstance(part, str) and part.startswith(_LOOKS_LIKE_A_FORMULA):
        return f"'{part}"
    return part
