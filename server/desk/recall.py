"""Desk page: from a lot, a ring set or a revision of it to every vehicle that has it, as a list to print."""

from dataclasses import dataclass

from flask import request

from server.auth import admission
from server.context import database
from server.desk.page import page
from server.records.job_facts import OVERLAP, lot_key
from server.store import facts, rings
from server.sync.derive import derive_due, derive_facts

blueprint = admission.desk_blueprint("recall", __name__)
MOST_JOBS = 500  # on a page
_FEWEST = 2  # letters or digits: less is in nearly every number
WHAT = {"ring-lot": "rings", "parts-lot": "parts", "ring-set": "marks"}
STATES = {
    "in": "went in", "out": "came out again", "unused": "got ready, did not go in",
    "planned": "planned; nobody has ticked that it is in",
}  # fmt: skip


@dataclass
class Vehicle:
    """Every job sheet with the part that names the same vehicle, the newest first: (row of the job, its parts)."""

    jobs: list[tuple[dict, list[dict]]]

    @property
    def newest(self) -> dict:
        return self.jobs[0][0]


@blueprint.get("/recall")
def show():
    """`?lot=` a lot or part number, or a part of one; or `?rings=` a ring set's id, or "id revision". Of more job
    sheets than a page holds the next ones come by `?before=`, the last seq of the last one.
    """
    typed = {name: request.args.get(name, "").strip()[:200] for name in ("lot", "rings")}
    wanted, flaw = _wanted(typed)
    given = request.args.get("before", "")
    before = int(given) if given.isascii() and given.isdigit() and len(given) < 17 else None
    if wanted:
        derive_due(database())
        derive_facts(database())
    with database().transaction() as connection:
        sets = rings.all_sets(connection)
        found, after = facts.recall(connection, wanted, before, MOST_JOBS) if wanted else ([], None)
        total = facts.number_recalled(connection, wanted) if after or before else None
    vehicles = vehicles_of(found)
    return page(
        "recall.html", typed=typed, flaw=flaw, vehicles=vehicles, sets=sets, wanted=wanted, what=WHAT, states=STATES,
        jobs=sum(len(vehicle.jobs) for vehicle in vehicles), total=total, after=after, before=before,
    )  # fmt: skip


def _wanted(typed: dict[str, str]) -> tuple[facts.Recalled | None, str]:
    """Return (what to look for, None where nothing is asked; what is wrong with it)."""
    if typed["lot"] and typed["rings"]:
        return None, "Both were given: expected a number or a ring set. Empty one of the two."
    if typed["rings"]:
        name, _, revision = typed["rings"].rpartition(" ")
        if name and revision.isascii() and revision.isdigit() and len(revision) < 7:
            return facts.Recalled(ring_set=name, revision=int(revision)), ""
        return facts.Recalled(ring_set=typed["rings"]), ""
    key = lot_key(typed["lot"])
    if typed["lot"] and not _FEWEST <= len(key) <= OVERLAP:
        return None, f"Expected {_FEWEST} to {OVERLAP} letters or digits of the number; got {len(key)}. Type it again."
    return (facts.Recalled(lot=key), "") if key else (None, "")


def vehicles_of(rows: list[dict]) -> list[Vehicle]:
    """Put together what is of one vehicle, by registration or VIN; a job without either stands alone."""
    jobs: dict[str, tuple[dict, list[dict]]] = {}
    for row in rows:
        parts = jobs.setdefault(row["job"], (row, []))[1]
        if all((row["what"], row["text"], row["side"]) != (p["what"], p["text"], p["side"]) for p in parts):
            parts.append(row)
    vehicles, known = [], {}
    for row, parts in jobs.values():
        keys = [("r", key) for key in row["registration_keys"].split()]
        keys += [("v", key) for key in (row["vin_keys"] or "").split()]
        vehicle = next((known[key] for key in keys if key in known), None)
        if vehicle is None:
            vehicle = Vehicle([])
            vehicles.append(vehicle)
        vehicle.jobs.append((row, parts))
        known.update(dict.fromkeys(keys, vehicle))
    return vehicles
