"""Photos and who wants them. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, delete, func, insert, select

from server.store.schema import entry, pairing_device, photo, photo_awaited


def await_photos(connection: Connection, pairs: set[tuple[str, str]]) -> None:
    """Note photos (device, name) that new entries wait for. It is noted in the turn of the entries: none is missed.

    A photo that came meanwhile leaves a note behind; what is here is never asked for.
    """
    if pairs:
        rows = [{"device": device, "sha256": name} for device, name in sorted(pairs)]
        connection.execute(insert(photo_awaited), rows)


def number_awaited(connection: Connection, pairing_id: str) -> int:
    """Return for how many photos entries of the pairing's devices wait."""
    missing = (
        select(func.count(photo_awaited.c.sha256.distinct()))
        .join(pairing_device, pairing_device.c.device == photo_awaited.c.device)
        .outerjoin(photo, photo.c.sha256 == photo_awaited.c.sha256)
        .where(pairing_device.c.pairing == pairing_id, photo.c.sha256.is_(None))
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


def find(connection: Connection, sha256: str):
    return connection.execute(select(photo).where(photo.c.sha256 == sha256)).one_or_none()


def held_of(connection: Connection, names: list[str]) -> set[str]:
    """Return those of the names whose pictures are here."""
    return set(connection.scalars(select(photo.c.sha256).where(photo.c.sha256.in_(names))))


def number_between(connection: Connection, pairing_id: str, since_ms: int, until_ms: int) -> int:
    is_then = photo.c.received_ms.between(since_ms, until_ms)
    count = select(func.count()).where(photo.c.pairing == pairing_id, is_then)
    return connection.execute(count).scalar_one()


def add(connection: Connection, row: dict) -> None:
    """Store a photo. Raises AlreadyThere where another request was first: then it is here already."""
    connection.execute(insert(photo).values(**row))
    connection.execute(delete(photo_awaited).where(photo_awaited.c.sha256 == row["sha256"]))
