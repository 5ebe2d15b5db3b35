"""What the shop's pages beyond the list know of a job: which parts and ring sets went where. No Flask, no SQL.

All of it follows from the job's entries alone, so it proves nothing and is derived again whenever they change.
"""

import re

from calc.numbers.sides import SIDES
from server.records.entry_rules import is_uuid
from server.records.installed_rings import InstalledRings, fitting_of
from server.records.recheck import rechecks_of
from server.records.summary import plate_keys
from server.records.vehicle_types import proposals_of, uses_of

VERSION = 6  # raised whenever what is derived changes: then every job is derived again
PIECE, OVERLAP = 300, 100  # characters: of one key, as long as an index takes them; of what two of a long text share
TAKEN_FROM = "finish.rings-from"  # a field-set: {"place": id}, as the phone knows its van
_LONGEST_ID = 200
_LONGEST_TEXT = 1_000  # shown in a list; all of it stands in the entry
_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1"})


def facts_of(entries: list[dict]) -> dict:
    """Return table -> its rows for the job, without the job; and what it left in the vehicle."""
    rings = InstalledRings(entries)
    return {
        "job_part": _parts_of(rings), "recheck": rechecks_of(rings.fold), "fitting": _fitting_of(rings),
        "type_proposal": proposals_of(rings.fold, rings.numbers), "type_use": uses_of(rings.fold),
        "ring_take": _takes_of(rings),
    }  # fmt: skip


def _fitting_of(rings: InstalledRings) -> dict:
    slots = {"registration": "vehicle.registration", "vin": "vehicle.vin"}
    keys = [(what, key) for what, slot in slots.items() for key in plate_keys(rings.fold, slot)]
    signed = [entry["at"][:10] for entry in rings.fold["signed"]]
    return {
        "keys": keys, "is_signed": bool(signed), "day": max(signed, default=None), "by": _signers(rings),
        **{side: fitting_of(rings, side) for side in SIDES},
    }  # fmt: skip


def _signers(rings: InstalledRings) -> list[str]:
    return list(dict.fromkeys(entry["by"] for entry in rings.fold["signed"]))


def lot_key(text: str) -> str:
    """Return letters and digits alone, what is mistaken for one another off a bag as one: "b-2l0" is "B210"."""
    return "".join(c for c in text.upper() if c.isalnum()).translate(_ALIKE)


def _takes_of(rings: InstalledRings) -> list[dict]:
    """Return a row for each pair that the closed job used: what went in is used, also where it came out again."""
    if rings.fold["state"] == "open":
        return []
    given = rings.numbers.field(TAKEN_FROM)
    place = given.get("place") if isinstance(given, dict) else None
    used = [
        pair.ring_set[:_LONGEST_ID]
        for side, pair, state in rings.every_planned()
        if _state(rings, side, pair.round, state) in ("in", "out")
    ]
    place = place if is_uuid(place) else None
    return [{"number": number, "ring_set": ring_set, "place": place} for number, ring_set in enumerate(used)]


def _parts_of(rings: InstalledRings) -> list[dict]:
    rows = []
    for lot in rings.lots:
        what, state = "ring-lot" if lot.side else "parts-lot", _state(rings, lot.side, lot.round, lot.state)
        for text in lot.texts:
            rows += [_row(what, key, text, lot.side, lot.round, state) for key in _pieces(lot_key(text))]
    for side, pair, state in rings.every_planned():
        state, marks = _state(rings, side, pair.round, state), " / ".join(map(str, pair.pair))
        rows.append(_row("ring-set", pair.ring_set[:PIECE], marks, side, pair.round, state, pair.table))
    return [row | {"number": number} for number, row in enumerate([*rows, *_found_before(rings)])]


def _state(rings: InstalledRings, side: str | None, number: int, state: str) -> str:
    """What nobody has ticked as being in, in a job that is not signed, is only got ready."""
    is_known = side is None or rings.fold["state"] == "signed" or rings.is_seen_in(side, number)
    return state if state != "in" or is_known else "planned"


def _found_before(rings: InstalledRings) -> list[dict]:
    """Rings that somebody had fitted earlier, where the person who found them could name their set."""
    found = rings.numbers.field("vehicle.pair-marks")
    name = found.get("ring_set") if isinstance(found, dict) else None
    if not isinstance(name, str) or not name:
        return []
    still = rings.old_in
    return [
        _row("ring-set", name[:PIECE], _marks(found.get(side)), side, 0, "in" if side in still else "out")
        for side in rings.old_at
    ]


def _marks(found) -> str:
    marks = [found.get(ring) for ring in ("inner", "outer")] if isinstance(found, dict) else []
    return " / ".join("?" if mark is None else str(mark)[:20] for mark in marks)


def _row(what: str, key: str, text: str, side, number: int, state: str, table: str | None = None) -> dict:
    table = table if table and re.fullmatch("[0-9a-f]{64}", table) else None
    return {
        "what": what, "key": key, "text": text[:_LONGEST_TEXT], "side": side, "round": number, "state": state,
        "table": table,
    }  # fmt: skip


def _pieces(key: str) -> list[str]:
    """Return the key in pieces that share their ends, so that whatever is looked for stands whole in one of them."""
    return (
        [key[start : start + PIECE] for start in range(0, max(1, len(key) - OVERLAP), PIECE - OVERLAP)] if key else []
    )
