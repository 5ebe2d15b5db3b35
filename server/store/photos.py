"""Photos and who wants them. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, delete, func, insert, select

from server.store.schema import entry, pairing_device, photo, photo_awaited

MOST_WANTED = 500  # named in one answer; the rest follow when these have come


def await_photos(connection: Connection, rows: list[dict]) -> None:
    """Note what new entries wait for. It is noted in the same turn as the entries, so none is missed."""
    named = {(row["device"], row["photo"]) for row in rows if row["photo"] is not None}
    if not named:
        return
    names = {name for _, name in named}
    here = held_of(connection, list(names))
    known = select(photo_awaited).where(photo_awaited.c.sha256.in_(names))
    noted = {(row.device, row.sha256) for row in connection.execute(known)}
    new = sorted(pair for pair in named - noted if pair[1] not in here)
    if new:
        connection.execute(insert(photo_awaited), [{"device": device, "sha256": name} for device, name in new])


def wanted(connection: Connection, pairing_id: str) -> list[str]:
    """Return the names of photos that entries of the pairing's devices wait for.

    A photo that came while its entry was being noted leaves a note behind; what is here is never asked for.
    """
    missing = (
        select(photo_awaited.c.sha256)
        .join(pairing_device, pairing_device.c.device == photo_awaited.c.device)
        .outerjoin(photo, photo.c.sha256 == photo_awaited.c.sha256)
        .where(pairing_device.c.pairing == pairing_id, photo.c.sha256.is_(None))
    )
    return list(connection.scalars(missing.distinct().order_by(photo_awaited.c.sha256).limit(MOST_WANTED)))


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


def number_since(connection: Connection, pairing_id: str, since_ms: int) -> int:
    count = select(func.count()).where(photo.c.pairing == pairing_id, photo.c.received_ms >= since_ms)
    return connection.execute(count).scalar_one()


def add(connection: Connection, row: dict) -> None:
    """Store a photo. Raises AlreadyThere where another request was first: then it is here already."""
    connection.execute(insert(photo).values(**row))
    connection.execute(delete(photo_awaited).where(photo_awaited.c.sha256 == row["sha256"]))
