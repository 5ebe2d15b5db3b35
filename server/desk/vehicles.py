"""Desk page: one vehicle by registration or VIN: what is fitted, by which job, and every job sheet of it."""

from flask import request

from calc.numbers.sides import SIDES
from server.auth import admission
from server.context import database
from server.desk.page import page
from server.desk.sheet.opened_sheet import sheet_of
from server.records.summary import registration_key
from server.store import facts, fittings, rings
from server.sync.derive import derive_due, derive_facts

blueprint = admission.desk_blueprint("vehicles", __name__)
_MOST = 50


@blueprint.get("/vehicles")
def show():
    """`?find=` a registration or VIN, whole; spaces and dashes do not matter."""
    typed = request.args.get("find", "").strip()[:200]
    key = registration_key(typed)
    if key:
        derive_due(database())
        derive_facts(database())
    with database().transaction() as connection:
        rows = fittings.of_vehicle(connection, key, _MOST) if key else []
        sheets = {row["id"]: sheet_of(connection, row["id"]) for row in rows}
        parts = facts.parts_of(connection, list(sheets))
        sets = {row["table"]: row for row in rings.all_sets(connection)}
    newest = max((row for row in rows if row["newest"]), key=lambda row: row["signed_seq"], default=None)
    return page(
        "vehicle.html", typed=typed, rows=rows, sheets=sheets, parts=parts, newest=newest, most=_MOST,
        wheels=_wheels(newest, sets) if newest else [], later=_later(rows, newest),
    )  # fmt: skip


def _later(rows: list[dict], newest: dict | None) -> list[dict]:
    """Return the jobs that something came for after the signature and that are not signed: rings may have moved."""
    since = newest["signed_seq"] if newest else 0
    return [row for row in rows if row["state"] in ("open", "stopped") and row["last_seq"] > since]


def _wheels(newest: dict, sets: dict[str, dict]) -> list[dict]:
    return [{"side": side, **_said(newest["left_in"][side], sets)} for side in SIDES]


def _said(fitted: dict | None, sets: dict[str, dict]) -> dict:
    if fitted is None:
        return {"rings": "none that this job knows of", "marks": "", "bolts": ""}
    marks = " meets ".join("?" if mark is None else str(mark) for mark in fitted["pair"])
    if fitted.get("found"):
        name = fitted["ring_set"] or "a ring set that nobody could name"
        return {"rings": f"{name}, found there and left in", "marks": marks, "bolts": ""}
    row = sets.get(fitted["table"])
    name = f"{row['name']}, revision {row['revision']}" if row else f"{fitted['ring_set']}, revision not known"
    seen = "" if fitted["seen"] else " (planned and signed; nobody ticked that they are in)"
    return {"rings": f"{name}{seen}", "marks": marks, "bolts": _bolts(fitted["bolts"])}


def _bolts(bolts: dict | None) -> str:
    if bolts is None:
        return "not written down"
    said = ["new" if bolts["new"] else "as before"]
    said += [f"{bolts['length_mm']} mm"] if bolts["length_mm"] is not None else []
    return ", ".join([*said, f"class {bolts['class']}"] if bolts["class"] else said)
