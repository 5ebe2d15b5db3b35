"""The entries of one job as the desk reads them: each with how it came here and whether it was erased."""

import json
from dataclasses import dataclass

from server.records.entry_rules import is_uuid
from server.store import entries
from server.web.errors import Problem


@dataclass(frozen=True)
class Record:
    """One entry, its seq, the server's times (ms; `erased_ms` None where it was not) and what brought it."""

    entry: dict
    seq: int
    received_ms: int
    erased_ms: int | None
    brought_by: str


def records_of(connection, job: str) -> list[Record]:
    """Return the records of a job in order of arrival. Problem: `no-such-job`."""
    rows = entries.rows_of_job(connection, job) if is_uuid(job) else []
    if not rows:
        raise Problem("no-such-job")
    return [Record(json.loads(row.raw), row.seq, row.received_ms, row.erased_ms, row.pairing) for row in rows]
