"""Questions about the store as a whole, for `check`. Every function takes a connection in a transaction."""

from collections.abc import Iterator
from typing import NamedTuple

from sqlalchemy import Connection, func, select

from server.store import photos
from server.store.schema import entry, job, photo, ring_table, set_aside


class Inspected(NamedTuple):
    sha256: str
    content: bytes | None
    etag: str


def number_by(connection: Connection, what: str) -> dict[str, int]:
    """Return how many jobs there are by `state`, or how many entries set aside by `verdict`."""
    column = {"state": job.c.state, "verdict": set_aside.c.verdict}[what]
    rows = connection.execute(select(column, func.count()).group_by(column).order_by(column))
    return {row[0]: row[1] for row in rows}


def bytes_of_photos(connection: Connection) -> int:
    """Return how many bytes the pictures have, in rows and in files."""
    found = photos.files_of(connection)
    return sum(row.size or (found and found.size(row.etag)) or 0 for row in photos.each(connection))


def files_without_photo(connection: Connection) -> int:
    """Return how many files are of no photo here: of what was kept aside, of a photo that did not arrive."""
    found = photos.files_of(connection)
    return len(set(found.etags()) - set(connection.scalars(select(photo.c.etag)))) if found else 0


def photos_not_arrived(connection: Connection) -> int:
    """Return how many photos entries name that are not here."""
    missing = select(func.count(entry.c.photo.distinct())).where(
        entry.c.photo.is_not(None), entry.c.photo.not_in(select(photo.c.sha256))
    )
    return connection.scalar(missing)


def photos_without_entry(connection: Connection) -> list[str]:
    """Return the names of photos that no entry names."""
    named = select(entry.c.photo).where(entry.c.photo.is_not(None))
    return list(connection.scalars(select(photo.c.sha256).where(photo.c.sha256.not_in(named))))


def entries_since(connection: Connection, seq: int) -> int:
    return connection.scalar(select(func.count()).select_from(entry).where(entry.c.seq > seq))


def highest_seq(connection: Connection) -> int:
    return connection.scalar(select(func.coalesce(func.max(entry.c.seq), 0)))


def each_entry(connection: Connection) -> Iterator:
    """Yield (id, raw, digest) of every entry that was not erased."""
    query = select(entry.c.id, entry.c.raw, entry.c.digest).where(entry.c.erased_ms.is_(None)).order_by(entry.c.seq)
    yield from connection.execute(query, execution_options={"yield_per": 500})


def each_photo(connection: Connection) -> Iterator:
    """Yield (name, content or None where its file is lost, the SHA-256 that the content must have) of every photo."""
    found = photos.files_of(connection)
    query = select(photo.c.sha256, photo.c.content, photo.c.etag)
    for row in connection.execute(query, execution_options={"yield_per": 8}):
        yield Inspected(row.sha256, row.content or (found and found.read(row.etag)) or None, row.etag)


def each_table(connection: Connection) -> Iterator:
    """Yield (name, content, the SHA-256 that the content must have) of every ring-set table."""
    query = select(ring_table.c.sha256, ring_table.c.content, ring_table.c.sha256.label("etag"))
    yield from connection.execute(query, execution_options={"yield_per": 8})


def job_ids(connection: Connection) -> list[str]:
    """Return the ids of the jobs that have an entry that was not erased, in the order in which they began."""
    has_content = select(entry.c.job).where(entry.c.erased_ms.is_(None))
    return list(connection.scalars(select(job.c.id).where(job.c.id.in_(has_content)).order_by(job.c.first_seq)))
