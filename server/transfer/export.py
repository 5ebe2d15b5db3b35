"""Writes every job sheet as JSON for other programs and for later. Photos are named in it; their bytes are in a backup.

The format, number 1. More fields may come; none goes or changes its meaning.

    {"format": 1, "program": "tapermark", "made": "ISO 8601", "shop": "name",
     "jobs": [{"id": uuid, "state": "open" | "stopped" | "signed", "registration": "...", "vehicle": "...",
               "received": {entry id: "ISO 8601, the server's clock"}, "entries": [in order of arrival, as they came]}]}

A job whose content was erased on request has no entries any more and is left out.
"""

import json
from datetime import UTC, datetime
from typing import TextIO

from server.records.summary import summary_of
from server.store import Database, entries, shops, store_checks
from server.transfer.progress import Progress


def export(database: Database, out: TextIO, now_ms: int, progress: Progress) -> int:
    """Write all of it, one job to a line; return how many jobs. Nothing that comes meanwhile is half in it."""
    with database.snapshot() as connection:
        head = {"format": 1, "program": "tapermark", "made": _iso(now_ms), "shop": shops.shop_row(connection).name}
        out.write(json.dumps(head)[:-1] + ', "jobs": [')
        ids = store_checks.job_ids(connection)
        for done, job_id in enumerate(ids, 1):
            out.write(("\n" if done == 1 else ",\n") + json.dumps(_job(connection, job_id)))
            progress(done, len(ids))
        out.write("\n]}\n")
    return len(ids)


def _job(connection, job_id: str) -> dict:
    sheet = entries.entries_of_job(connection, job_id)
    summary = summary_of(sheet)
    received = entries.received_of_job(connection, job_id)
    return {
        "id": job_id,
        **{key: summary[key] for key in ("state", "registration", "vehicle")},
        "received": {entry_id: _iso(ms) for entry_id, ms in received.items()},
        "entries": sheet,
    }


def _iso(ms: int) -> str:
    return datetime.fromtimestamp(ms / 1000, UTC).isoformat(timespec="milliseconds")
