"""Takes personal values out of the store for good. What is put in their place is decided by server/sync/erase.py.

Every function takes a connection in a transaction.
"""

import json

from sqlalchemy import Connection, bindparam, delete, exists, select, update

from server.store import facts, photos
from server.store.entries import ERASED, change_jobs
from server.store.schema import entry, import_file, photo_awaited, set_aside


def contents_of_job(connection: Connection, job_id: str) -> list:
    """Return (id, raw) of the job's entries that were not erased yet."""
    query = select(entry.c.id, entry.c.raw).where(entry.c.job == job_id, entry.c.erased_ms.is_(None))
    return list(connection.execute(query))


def put_shells(connection: Connection, job_id: str, shells: dict[str, str], changes: dict, now_ms: int) -> None:
    """Replace what entries said, and of the job what `changes` names; ids, seqs, numbers and digests stay, so that no
    phone's copy is taken again.
    """
    if shells:
        emptied = [{"which": key, "raw": raw, "photo": None, "erased_ms": now_ms} for key, raw in shells.items()]
        connection.execute(update(entry).where(entry.c.id == bindparam("which")), emptied)
    change_jobs(connection, [changes | {"id": job_id, "state": ERASED}])
    facts.forget(connection, job_id)


def photos_of_job(connection: Connection, job_id: str) -> list[str]:
    query = select(entry.c.photo).where(entry.c.job == job_id, entry.c.photo.is_not(None)).distinct()
    return list(connection.scalars(query))


def remove_unnamed_photos(connection: Connection, names: list[str]) -> int:
    """Remove those pictures that no entry names any more, and wait for none of them; return how many."""
    is_named = exists().where(entry.c.device == photo_awaited.c.device, entry.c.photo == photo_awaited.c.sha256)
    connection.execute(delete(photo_awaited).where(photo_awaited.c.sha256.in_(names), ~is_named))
    named = set(connection.scalars(select(entry.c.photo).where(entry.c.photo.in_(names))))
    return photos.remove(connection, [name for name in names if name not in named])


def empty_what_was_set_aside(connection: Connection, job_id: str) -> None:
    """Empty refused and parked entries of the job, and drop what phones' files said of it beyond entries."""
    about_job = set_aside.c.raw.contains(job_id, autoescape=True)
    refused = set(connection.scalars(select(set_aside.c.entry).where(about_job)))
    connection.execute(update(set_aside).where(about_job).values(raw=""))
    for row in connection.execute(select(import_file.c.id, import_file.c.left_over, import_file.c.outcome)).all():
        changes = {
            "left_over": json.dumps(_without(json.loads(row.left_over), job_id)),
            "outcome": json.dumps(_unquoted(json.loads(row.outcome), job_id, refused)),
        }
        connection.execute(update(import_file).where(import_file.c.id == row.id).values(**changes))


def _without(left_over, job_id: str) -> list:
    """Return the parts of a file that do not name the job; those of other jobs are not asked to go."""
    parts = left_over if isinstance(left_over, list) else [left_over]
    return [part for part in parts if job_id not in json.dumps(part)]


def _unquoted(outcome: dict, job_id: str, refused: set[str]) -> dict:
    """A refusal quotes from its entry, whose id may be anything too: take both out where the entry was of the job."""

    def emptied(part: dict) -> dict:
        quotes = part["verdict"] == "refused" and (part.get("job") == job_id or part.get("id") in refused - {None})
        return part | {"id": None, "text": ""} if quotes else part

    return {what: [emptied(part) for part in parts] for what, parts in outcome.items()}
