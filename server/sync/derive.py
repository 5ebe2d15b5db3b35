"""Brings up to date what lists and searches know of job sheets, before they are read. No Flask.

Saving only marks a job: deriving reads all of it, and a phone must not wait for that. The reader waits instead, for the
jobs that were worked on since the last look.
"""

import json
from functools import wraps

from server.records.fold import fold
from server.records.job_facts import VERSION, facts_of
from server.records.past_fittings import GATHERED, KINDS, STRUCK, gathered_of
from server.records.summary import summary_of
from server.store import FAULTS, Database, entries, facts, search
from server.store.not_writable import why_not_writable

_AT_ONCE = 100


def _as_far_as_can_be_written(derive):
    """A store that cannot be written can still be read: lists then stand as they stood."""

    @wraps(derive)
    def derive_or_not(database: Database, *which) -> bool:
        try:
            derive(database, *which)
        except FAULTS as error:
            if why_not_writable(error) is None:
                raise
            return False
        return True

    return derive_or_not


@_as_far_as_can_be_written
def derive_due(database: Database) -> None:
    """Derive every job for which something has come since it was derived. What comes meanwhile is left to the next."""
    with database.snapshot() as connection:
        due = search.not_derived(connection)
    for start in range(0, len(due), _AT_ONCE):
        _derive(database, due[start : start + _AT_ONCE])


@_as_far_as_can_be_written
def derive_lines(database: Database, ids: list[str]) -> None:
    """Derive these jobs alone. Returns whether that could be written."""
    _derive(database, ids)


def _derive(database: Database, ids: list[str]) -> None:
    with database.snapshot() as connection:
        rows = search.not_derived_among(connection, ids)
        lines = search.lines_of(connection, list(rows))
        sheets = entries.entries_of_jobs(connection, list(rows))
    # Worked out between two transactions, so that no phone waits for it.
    derived = [{"id": job, **row, **summary_of(sheets[job])} for job, row in rows.items()]
    changed = [row["id"] for row in derived if any(row[name] != lines[row["id"]][name] for name in search.OF_A_LINE)]
    with database.transaction() as connection:
        _, last_line = entries.take_places(connection, 0, len(changed))
        line_at = {job: line["line_at"] for job, line in lines.items()}
        line_at |= {job: last_line + k for k, job in enumerate(changed, 1)}
        search.keep_derived(connection, [row | {"line_at": line_at[row["id"]]} for row in derived])


def gather(database: Database, most: int) -> list[dict]:
    """Return what the newest finished jobs give to learn from; each is read once, and again when it has changed.

    Those whose names were erased too: nothing personal is looked at.
    """
    with database.snapshot() as connection:
        newest = search.newest_in_state(connection, ("signed", entries.ERASED), most)
        kept = facts.gathered(connection, list(newest))
    read = {job: json.loads(body) for job, (last_seq, body) in kept.items() if newest[job] == last_seq}
    found = {job: given for job, given in read.items() if given["version"] == GATHERED}
    due = [job for job in newest if job not in found]
    for start in range(0, len(due), _AT_ONCE):
        some = due[start : start + _AT_ONCE]
        with database.snapshot() as connection:
            sheets = entries.raws_of_jobs(connection, some, KINDS, STRUCK)
        fresh = {job: gathered_of(fold(list(map(json.loads, sheets[job])))) for job in some}
        found |= fresh
        rows = [{"job": job, "last_seq": newest[job], "body": json.dumps(given)} for job, given in fresh.items()]
        _keep_gathered(database, rows)
    return [found[job] for job in newest]


@_as_far_as_can_be_written
def _keep_gathered(database: Database, rows: list[dict]) -> None:
    with database.transaction() as connection:
        entries.take_turn(connection)
        facts.keep_gathered(connection, rows)


@_as_far_as_can_be_written
def derive_facts(database: Database) -> None:
    """Derive what recalls and the like know of every job for which something has come since; the line is another's."""
    with database.snapshot() as connection:
        due = facts.due(connection, VERSION)
    for start in range(0, len(due), _AT_ONCE):
        _derive_facts(database, due[start : start + _AT_ONCE])


def _derive_facts(database: Database, ids: list[str]) -> None:
    with database.snapshot() as connection:
        read = facts.last_seqs(connection, ids)
        sheets = entries.entries_of_jobs(connection, list(read))
    derived = {job: facts_of(sheets[job]) for job in read}
    with database.transaction() as connection:
        entries.take_turn(connection)
        now = facts.last_seqs(connection, ids)
        facts.keep(connection, {job: of for job, of in derived.items() if now.get(job) == read[job]}, VERSION)
