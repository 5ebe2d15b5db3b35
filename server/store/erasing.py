"""Takes personal values out of the store for good. What is put in their place is decided by server/erase.py.

Every function takes a connection in a transaction.
"""

from sqlalchemy import Connection, delete, select, update

from server.store.entries import ERASED, change_job
from server.store.schema import entry, import_file, photo, set_aside


def contents_of_job(connection: Connection, job_id: str) -> list:
    """Return (id, raw) of the job's entries that were not erased yet."""
    query = select(entry.c.id, entry.c.raw).where(entry.c.job == job_id, entry.c.erased_ms.is_(None))
    return list(connection.execute(query))


def put_shells(connection: Connection, job_id: str, shells: dict[str, str], summary: dict, now_ms: int) -> None:
    """Replace what entries said; ids, seqs, numbers and digests stay, so that no phone's copy is taken again."""
    for entry_id, raw in shells.items():
        changes = {"raw": raw, "photo": None, "erased_ms": now_ms}
        connection.execute(update(entry).where(entry.c.id == entry_id).values(**changes))
    change_job(connection, job_id, summary | {"state": ERASED, "changed_ms": now_ms})


def photos_of_job(connection: Connection, job_id: str) -> list[str]:
    query = select(entry.c.photo).where(entry.c.job == job_id, entry.c.photo.is_not(None)).distinct()
    return list(connection.scalars(query))


def remove_unnamed_photos(connection: Connection, names: list[str]) -> int:
    """Remove those pictures that no entry names any more; return how many."""
    named = select(entry.c.photo).where(entry.c.photo.in_(names))
    gone = delete(photo).where(photo.c.sha256.in_(names), photo.c.sha256.not_in(named))
    return connection.execute(gone).rowcount


def empty_what_was_set_aside(connection: Connection, job_id: str) -> None:
    """Empty refused and parked entries of the job, and what a phone's file said of it beyond entries."""
    for column in (set_aside.c.raw, import_file.c.left_over):
        about_job = update(column.table).where(column.contains(job_id, autoescape=True))
        connection.execute(about_job.values({column.name: "" if column is set_aside.c.raw else "[]"}))
