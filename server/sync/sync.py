"""One round trip of a phone: its entries go in, what it lacks comes out. No Flask.

A phone that brings something has the writers' turn while it is answered; one that brings nothing reads a snapshot and
waits for nobody. Either way the newest entry and the page are of one state, so that no reader can skip one.
"""

import uuid

from server.limits import (
    CONTACT_NOTED_MS,
    KEPT_ON_PHONES_MS,
    MOST_ENTRIES,
    MOST_TO_BRING,
    MOST_UNSENT,
    MOST_WHOLE,
)
from server.records.entry_rules import is_uuid, is_whole
from server.store import Connection, Database, shops
from server.store import entries as store
from server.store.sync_state import Asked, Seen, look
from server.sync.take_entries import Taken, take
from server.sync.whole_jobs import add_lines, pull_whole
from server.web.errors import Problem

_HIGHEST = 2**53 - 1


def check_request(request) -> None:
    """Refuse a request whose frame is wrong; what is wrong with single entries is answered entry by entry."""
    if not isinstance(request, dict):
        raise Problem("wrong-request", field="body", expected="an object", got=type(request).__name__)
    batch, since = request.get("entries"), request.get("since")
    if not is_uuid(request.get("device")):
        raise Problem(
            "wrong-request", field="device", expected="a UUID of version 4 in lower case", got="something else"
        )
    if not isinstance(batch, list) or len(batch) > MOST_ENTRIES:
        got = f"{len(batch)} entries" if isinstance(batch, list) else "no list"
        raise Problem("wrong-request", field="entries", expected=f"a list of at most {MOST_ENTRIES}", got=got)
    unsent, version = request.get("unsent"), request.get("version")
    if unsent is not None and not _is_count(unsent, MOST_UNSENT):
        raise Problem("wrong-request", field="unsent", expected=f"null, or 0 to {MOST_UNSENT}", got="something else")
    if version is not None and not (isinstance(version, str) and len(version) <= 40 and version.isprintable()):
        raise Problem("wrong-request", field="version", expected="null, or at most 40 characters", got="something else")
    if not isinstance(request.get("kept"), bool | None):
        raise Problem("wrong-request", field="kept", expected="null, true or false", got="something else")
    if since is not None and not (isinstance(since, dict) and {"epoch", "seq", "id"} <= since.keys()):
        raise Problem("wrong-request", field="since", expected="null, or epoch, seq and id", got="something else")
    _check_whole(request)


def _check_whole(request: dict) -> None:
    """The same of what a phone says that holds some jobs whole, and of others a line; an older one says none of it."""
    for field, most in (("whole", MOST_WHOLE), ("bring", MOST_TO_BRING)):
        jobs = request.get(field, [])
        if not isinstance(jobs, list) or len(jobs) > most or not all(map(is_uuid, jobs)):
            got = f"{len(jobs)} jobs" if isinstance(jobs, list) and len(jobs) > most else "something else"
            raise Problem("wrong-request", field=field, expected=f"a list of at most {most} ids of jobs", got=got)
    place = request.get("lines")
    is_place = isinstance(place, dict) and isinstance(place.get("epoch"), str) and _is_count(place.get("at"), _HIGHEST)
    if place is not None and not (is_place and _is_count(place.get("from", 0), _HIGHEST)):
        expected = "null, or epoch and at, perhaps from"
        raise Problem("wrong-request", field="lines", expected=expected, got="something else")


def _is_count(part, most: int) -> bool:
    """Tell whether it is a whole number from 0 to `most`; in JSON 3.0 is one."""
    return isinstance(part, int | float) and not isinstance(part, bool) and 0 <= part <= most and part == int(part)


def exchange(database: Database, pairing, request: dict, now_ms: int) -> dict:
    """Return the whole answer; its `entries` are texts, each an entry's JSON. `pairing` is its row."""
    said = {name: request.get(name) for name in ("unsent", "version", "kept")}
    is_due = _is_contact_due(pairing, said, now_ms)
    answer = None if request["entries"] else _glance(database, pairing.id, request, now_ms)
    if answer is None:
        with database.transaction() as connection:
            answer = _take_and_answer(connection, pairing.id, request, now_ms)
            if is_due:
                shops.note_contact(connection, pairing.id, now_ms, said)
    elif is_due:
        with database.transaction() as connection:
            shops.note_contact(connection, pairing.id, now_ms, said)
    if "whole" in request:
        add_lines(database, request, answer, now_ms)
    return answer


def _is_contact_due(pairing, said: dict, now_ms: int) -> bool:
    """Once a minute, by a clock that may have been set back; what the phone says anew of itself at once."""
    says_more = any(getattr(pairing, name) != word for name, word in said.items())
    return says_more or abs(now_ms - pairing.contact_ms) >= CONTACT_NOTED_MS


def _glance(database: Database, pairing_id: str, request: dict, now_ms: int) -> dict | None:
    """Answer a phone that brings nothing; None if something of its device has to be written down first."""
    device_id = request["device"]
    with database.snapshot() as connection:
        asked = Asked(pairing_id, [device_id], since_seq=_seq_of(request.get("since")), lines="whole" in request)
        seen = look(connection, asked)
        device = seen.devices.get(device_id)
        if device is None or not device.is_bound or device_id in seen.behind:
            return None
        return {
            "results": [],
            **_pull(connection, seen, request, seen.newest, False, set(), now_ms),
            "high_water": device.high_water,
            "backed_up_through": device.backed_up_through,
            "wanted_photos": seen.wanted,
            "new_device": None,
        }


def _take_and_answer(connection: Connection, pairing_id: str, request: dict, now_ms: int) -> dict:
    device_id, since_seq = request["device"], _seq_of(request.get("since"))
    taken = take(connection, pairing_id, device_id, request["entries"], now_ms, since_seq, "whole" in request)
    held_now = {result["id"] for result in taken.results if result["verdict"] != "refused"}
    device = taken.seen.devices.get(device_id)
    return {
        "results": taken.results,
        **_pull(connection, taken.seen, request, taken.newest, taken.reopened, held_now, now_ms),
        "high_water": taken.high_water,
        "backed_up_through": device.backed_up_through if device else 0,
        "wanted_photos": taken.wanted,
        "new_device": _device_for_clone(connection, pairing_id, taken),
    }


def _device_for_clone(connection: Connection, pairing_id: str, taken: Taken) -> str | None:
    """Give a fresh device id to a phone one of whose own numbers is taken by another entry."""
    if not taken.has_twin:
        return None
    fresh = str(uuid.uuid4())
    store.add_devices(connection, {fresh: 0})
    store.bind_devices(connection, pairing_id, {fresh})
    return fresh


def _seq_of(since: dict | None) -> int | None:
    return since["seq"] if since is not None and is_whole(since["seq"], 1) else None


def _pull(connection, seen: Seen, request: dict, newest: tuple, reopened: bool, held_now: set, now_ms: int) -> dict:
    """Return a page of what the phone lacks, from its place or, should that be none of this store's, the beginning."""
    since = request.get("since")
    restart = since is not None and not _is_ours(since, seen)
    start = 0 if since is None or restart else since["seq"]
    if "whole" in request:
        return pull_whole(connection, seen, request, start, newest, held_now) | {"restart": restart}
    return _pull_all(connection, seen, start, newest, reopened, held_now, now_ms) | {"restart": restart}


def _pull_all(connection, seen: Seen, start: int, newest: tuple, reopened: bool, held_now: set, now_ms: int) -> dict:
    """Return the page of an older phone, that knows no lines, and where the next one begins: behind the page's last
    entry, or where nothing is left behind the newest of the store, sent or not. What it passes over is of closed jobs,
    and comes whole should anything come for them (take_entries.py).
    """
    more, sent = False, []
    # Of what this request brought, a phone that was up to date before lacks nothing, but what a closed job had before.
    if seen.newest[0] > start or reopened:
        kept_from_ms = now_ms - KEPT_ON_PHONES_MS
        rows = store.page(connection, start, kept_from_ms, MOST_ENTRIES + 1)
        more, rows = len(rows) > MOST_ENTRIES, rows[:MOST_ENTRIES]
        came_back = sorted({row.job for row in rows if row.came_back})
        sent = store.earlier(connection, came_back, start) + rows
        newest = (rows[-1].seq, rows[-1].id) if more else newest
    return {
        "entries": [row.raw for row in sent if row.id not in held_now],
        "next": {"epoch": seen.epoch, "seq": newest[0], "id": newest[1]},
        "more": more,
    }


def _is_ours(since: dict, seen: Seen) -> bool:
    if since["epoch"] != seen.epoch or not is_whole(since["seq"], 0):
        return False
    if since["seq"] == 0:
        return since["id"] is None
    return seen.at_since is not None and seen.at_since == since["id"]
