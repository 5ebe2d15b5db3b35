"""Answers a phone that names its whole jobs: their entries, jobs that it wants whole, lines of the others. No Flask.

Entries and lines have places of their own. The entries are read in the transaction that takes what the phone brings;
the lines after it, so that deriving them holds up nobody else, and a line may be newer than the entries beside it.
"""

from dataclasses import dataclass

from server.limits import KEPT_ON_PHONES_MS, MOST_BROUGHT, MOST_ENTRIES, MOST_LINES, MOST_LINES_DERIVED
from server.store import Connection, Database, entries, whole_jobs
from server.store.entries import ERASED
from server.store.sync_state import Seen
from server.sync.derive import derive_lines


def pull_whole(connection: Connection, seen: Seen, request: dict, start: int, newest: tuple, held_now: set) -> dict:
    """Return one page of entries behind `start`, and where the next one begins: behind the page's last entry or, where
    none is left, behind the newest of the store. Jobs that the phone wants whole come up to there too.
    """
    rows = []
    if seen.newest[0] > start:  # of what this request brought, the phone lacks nothing
        rows = whole_jobs.page(connection, set(request["whole"]), start, newest[0], MOST_ENTRIES + 1)
    more, rows = len(rows) > MOST_ENTRIES, rows[:MOST_ENTRIES]
    end = (rows[-1].seq, rows[-1].id) if more else newest
    sizes = whole_jobs.sizes(connection, request["bring"], end[0]) if request.get("bring") else {}
    brought = _that_fit({job: sizes[job] for job in request.get("bring") or () if job in sizes})
    sent = {row.seq: row for row in [*rows, *entries.earlier(connection, brought, end[0])]}
    erased = {row.seq for row in rows if row.erased_ms is not None}
    return {
        "entries": [sent[seq].raw for seq in sorted(sent) if seq not in erased and sent[seq].id not in held_now],
        "next": {"epoch": seen.epoch, "seq": end[0], "id": end[1]},
        "more": more or len(brought) < len(sizes),
        "whole": brought,
        "lines": [],
        "lines_next": {"epoch": seen.epoch, "at": seen.lines},
        "backed_up_seq": seen.backed_up_seq,
    }


def _that_fit(sizes: dict[str, int]) -> list[str]:
    """Return the first job, and whichever of the others still fit."""
    fit, room = [], MOST_BROUGHT
    for job, size in sizes.items():
        if size <= room or not fit:
            fit.append(job)
            room -= size
    return fit


def add_lines(database: Database, request: dict, answer: dict, now_ms: int) -> None:
    """Put into the answer the lines that the phone lacks; where there are none, it stands as one look has found it."""
    place, newest = None if answer["restart"] else request.get("lines"), answer["lines_next"]
    if request["entries"] or place is None or (place["epoch"], place["at"]) != (newest["epoch"], newest["at"]):
        found = _lines(database, _Asked(place, set(request["whole"])), now_ms)
        answer |= found | {"more": answer["more"] or found["more"]}
    elif "from" in place:
        newest["from"] = int(place["from"])


@dataclass(frozen=True)
class _Asked:
    place: dict | None
    held: set[str]  # jobs that the phone holds whole


@dataclass(frozen=True)
class _Read:
    counters: object  # epoch, lines and backed_up_seq
    start: int
    began: int
    rows: list


def _read(database: Database, asked: _Asked, now_ms: int) -> _Read:
    """A phone that begins gets the lines that it can show, and those of what it holds, by which that may leave. `from`
    in its place says where the newest was when it began: what has changed since comes however long the phone was away,
    for a job that it knows as open may have been closed and left alone for months.
    """
    place = asked.place
    with database.snapshot() as connection:
        counters = whole_jobs.counters(connection)
        is_ours = place is not None and place["epoch"] == counters.epoch and place["at"] <= counters.lines
        start = int(place["at"]) if is_ours else 0
        began = int(place["from"]) if is_ours and "from" in place else counters.lines
        rows = whole_jobs.lines(connection, start, began, now_ms - KEPT_ON_PHONES_MS, asked.held, MOST_LINES + 1)
        return _Read(counters, start, began, rows)


def _lines(database: Database, asked: _Asked, now_ms: int) -> dict:
    """Return a page of lines. Only so many are derived for one answer; from the first of the rest on they come with
    the next. One for which more came meanwhile is left to another sync, and nobody waits for it.
    """
    read = _read(database, asked, now_ms)
    due = [row.id for row in read.rows[:MOST_LINES] if row.is_due]
    is_derived = bool(due) and derive_lines(database, due[:MOST_LINES_DERIVED])
    left = set(due[MOST_LINES_DERIVED:])
    if is_derived:
        read = _read(database, asked, now_ms)
    rows, more = read.rows[:MOST_LINES], len(read.rows) > MOST_LINES
    # Where the store cannot be written they come as they stand, and again when they have been derived.
    ready = next((k for k, row in enumerate(rows) if row.is_due), len(rows)) if is_derived or not due else len(rows)
    more = more or any(row.id in left for row in rows[ready:])
    is_cut = more or ready < len(rows)
    at = (rows[ready - 1].line_at if ready else read.start) if is_cut else read.counters.lines
    return {
        "more": more,
        "lines": [_line(row) for row in rows[:ready]],
        "lines_next": {"epoch": read.counters.epoch, "at": at, "from": read.began},
        "backed_up_seq": read.counters.backed_up_seq,
    }


def _line(row) -> dict:
    is_erased = row.state == ERASED
    return {
        "job": row.id, "at": row.line_at, "state": row.state,
        "registration": "" if is_erased else row.registration, "vehicle": "" if is_erased else row.vehicle,
        "conflicts": 0 if is_erased else row.conflicts, "changed_ms": row.changed_ms, "last_seq": row.last_seq,
    }  # fmt: skip
