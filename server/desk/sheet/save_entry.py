"""Writes entries at the desk, as a device of its own, by the same way that a phone's entries take.

It decides nothing: whoever calls says what is written, and over which entries.
"""

import uuid
from datetime import UTC, datetime

from server.store import Connection, entries, imports, settings, shops
from server.sync.take_entries import take
from server.web.errors import Problem

_SETTING = "desk-device"
PAIRING_NAME = "The desk"


def write(connection: Connection, job: str, kind: str, slot: str, after: list[str], body: dict, by: str, now_ms: int):
    """Keep one entry and return it. The transaction must not have read or written yet. Problem: `not-kept`."""
    entries.take_turn(connection)
    pairing, device = _own(connection, now_ms)
    entry = {
        "format": 1, "id": str(uuid.uuid4()), "job": job, "device": device,
        "n": entries.high_water(connection, device) + 1,
        "at": datetime.fromtimestamp(now_ms / 1000, UTC).isoformat(timespec="milliseconds"),
        "by": by, "kind": kind, "slot": slot, "after": after, "body": body,
    }  # fmt: skip
    result = take(connection, pairing, device, [entry], now_ms).results[0]
    if result["verdict"] != "accepted":
        raise Problem("not-kept", why=result.get("text") or result["verdict"])
    return entry


def _own(connection: Connection, now_ms: int) -> tuple[str, str]:
    """Return (pairing, device) of the desk itself, made when it first writes."""
    own = settings.get(connection, _SETTING)
    if own is None:
        pairing = shops.add_pairing(connection, PAIRING_NAME, now_ms)
        own = {"pairing": pairing, "device": str(uuid.uuid4())}
        imports.bind(connection, pairing, own["device"], now_ms)  # no phone: nobody can come in by it
        settings.put(connection, _SETTING, own, PAIRING_NAME, now_ms)
    return own["pairing"], own["device"]
