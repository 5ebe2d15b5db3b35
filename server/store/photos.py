"""Photos and who wants them. Every function takes a connection in a transaction.

On PostgreSQL the bytes lie in their row: several servers may share it. On SQLite they are files beside the database
(photo_files.py), and `content` is empty; but for those that an older program has put into it.
"""

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, and_, delete, func, insert, select, update

from server.store.photo_files import PhotoFiles, beside
from server.store.schema import entry, pairing, pairing_device, photo, photo_awaited

_AT_ONCE = 5_000  # names in one statement: databases take so many
_BUT_CONTENT = [column for column in photo.c if column is not photo.c.content]


def files_of(connection: Connection) -> PhotoFiles | None:
    """Return where the bytes lie, or None where they lie in their rows."""
    engine = connection.engine
    return beside(Path(engine.url.database)) if engine.dialect.name == "sqlite" else None


def await_photos(connection: Connection, pairs: set[tuple[str, str]]) -> None:
    """Note photos (device, name) that new entries wait for. It is noted in the turn of the entries: none is missed.

    A photo that came meanwhile leaves a note behind; what is here is never asked for.
    """
    if pairs:
        rows = [{"device": device, "sha256": name} for device, name in sorted(pairs)]
        connection.execute(insert(photo_awaited), rows)


def number_awaited(connection: Connection, pairing_id: str) -> int:
    """Return for how many photos entries of the pairing's devices wait; a phone that was paired anew waits there."""
    own, later, theirs = pairing.alias(), pairing.alias(), pairing_device.alias()
    paired_anew = (
        select(theirs.c.device)
        .join(later, later.c.id == theirs.c.pairing)
        .where(theirs.c.device == pairing_device.c.device, later.c.made_ms > own.c.made_ms)
        .where(later.c.file.is_(None), later.c.revoked_ms.is_(None))
    )
    missing = (
        select(func.count(photo_awaited.c.sha256.distinct()))
        .join(pairing_device, pairing_device.c.device == photo_awaited.c.device)
        .join(own, own.c.id == pairing_device.c.pairing)
        .outerjoin(photo, photo.c.sha256 == photo_awaited.c.sha256)
        .where(own.c.id == pairing_id, photo.c.sha256.is_(None), ~paired_anew.exists())
    )
    return connection.execute(missing).scalar_one()


def is_wanted_by(connection: Connection, pairing_id: str, sha256: str) -> bool:
    """Tell whether an entry of the pairing's devices names the photo, whether it has come or not."""
    own = (
        select(entry.c.id)
        .join(pairing_device, pairing_device.c.device == entry.c.device)
        .where(pairing_device.c.pairing == pairing_id, entry.c.photo == sha256)
    )
    return connection.execute(own.limit(1)).first() is not None


def jobs_with(connection: Connection, sha256: str) -> list[str]:
    """Return the jobs that have an entry naming the photo, live or not."""
    return list(connection.scalars(select(entry.c.job).where(entry.c.photo == sha256).distinct()))


def kept(connection: Connection, sha256: str) -> tuple[str, bytes] | None:
    """Return (ETag, the bytes) of a picture that is here."""
    row = connection.execute(select(photo.c.etag, photo.c.content).where(photo.c.sha256 == sha256)).one_or_none()
    content = row and (row.content or _from_file(connection, row.etag))
    return (row.etag, content) if content else None


def _from_file(connection: Connection, etag: str) -> bytes | None:
    found = files_of(connection)
    return found.read(etag) if found else None


def each(connection: Connection, names: list[str] | None = None) -> Iterator:
    """Yield every photo's row, or those of the names, with `size`: of its bytes in the row, 0 where they are a file."""
    query = select(*_BUT_CONTENT, func.length(photo.c.content).label("size")).order_by(photo.c.sha256)
    query = query if names is None else query.where(photo.c.sha256.in_(names))
    yield from connection.execute(query, execution_options={"yield_per": 500})


def content_in_row(connection: Connection, sha256: str) -> bytes:
    return connection.scalar(select(photo.c.content).where(photo.c.sha256 == sha256))


def held_of(connection: Connection, names: list[str]) -> set[str]:
    """Return those of the names whose pictures are here."""
    parts = (names[start : start + _AT_ONCE] for start in range(0, len(names), _AT_ONCE))
    return {
        name for part in parts for name in connection.scalars(select(photo.c.sha256).where(photo.c.sha256.in_(part)))
    }


def has_etag(connection: Connection, etag: str) -> bool:
    """Tell whether a photo's kept picture has those bytes."""
    return connection.execute(select(photo.c.sha256).where(photo.c.etag == etag).limit(1)).first() is not None


def number_between(connection: Connection, pairing_id: str, since_ms: int, until_ms: int) -> int:
    is_then = photo.c.received_ms.between(since_ms, until_ms)
    count = select(func.count()).where(photo.c.pairing == pairing_id, is_then)
    return connection.execute(count).scalar_one()


def add(connection: Connection, row: dict) -> None:
    """Store a photo. Raises AlreadyThere where another request was first: then it is here already.

    Whoever can write its file before the transaction does so, that nobody waits for it.
    """
    put_rows(connection, [row])
    connection.execute(delete(photo_awaited).where(photo_awaited.c.sha256 == row["sha256"]))


def put_rows(connection: Connection, rows: list[dict]) -> None:
    """Add rows with their `content`, which goes where bytes lie in this store."""
    found = files_of(connection)
    for row in rows if found else ():
        if found.size(row["etag"]) != len(row["content"]):  # nobody erases it between this look and the commit
            found.put(row["etag"], row["content"])
    connection.execute(insert(photo), [row | {"content": b""} for row in rows] if found else rows)


def remove(connection: Connection, names: list[str]) -> int:
    """Remove photos and, where no other row has the same picture, its file; return how many.

    The files go before the commit: should that fail, what somebody asked to have erased is gone all the same.
    """
    etags = set(connection.scalars(select(photo.c.etag).where(photo.c.sha256.in_(names))))
    gone = connection.execute(delete(photo).where(photo.c.sha256.in_(names))).rowcount
    if found := files_of(connection):
        found.remove(sorted(etags - set(connection.scalars(select(photo.c.etag).where(photo.c.etag.in_(etags))))))
    return gone


def await_again(connection: Connection, names: list[str]) -> None:
    """Take out photos whose bytes are lost, and ask for them again every device that has an entry with them."""
    is_asked = and_(photo_awaited.c.device == entry.c.device, photo_awaited.c.sha256 == entry.c.photo)
    named = select(entry.c.device, entry.c.photo).outerjoin(photo_awaited, is_asked)
    for start in range(0, len(names), _AT_ONCE):
        part = names[start : start + _AT_ONCE]
        connection.execute(delete(photo).where(photo.c.sha256.in_(part)))
        wanted = named.where(entry.c.photo.in_(part), photo_awaited.c.sha256.is_(None)).distinct()
        await_photos(connection, {(row.device, row.photo) for row in connection.execute(wanted)})


def in_rows(connection: Connection, after: str, most: int) -> list:
    """Return (sha256, etag, content) of photos behind that name whose bytes lie in their rows."""
    query = select(photo.c.sha256, photo.c.etag, photo.c.content).where(func.length(photo.c.content) > 0)
    return list(connection.execute(query.where(photo.c.sha256 > after).order_by(photo.c.sha256).limit(most)))


def empty_row(connection: Connection, name: str) -> bool:
    """Take the bytes out of a row, in the transaction in which they become a file. Returns whether the row is there."""
    return connection.execute(update(photo).where(photo.c.sha256 == name).values(content=b"")).rowcount == 1
