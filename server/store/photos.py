"""Photos and who wants them. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, func, insert, select

from server.store.schema import entry, pairing_device, photo

MOST_WANTED = 500  # named in one answer; the rest follow when these have come


def _wants(pairing_id: str):
    """Entries with a photo, from any device of the pairing."""
    return (
        select(entry.c.photo)
        .join(pairing_device, pairing_device.c.device == entry.c.device)
        .where(pairing_device.c.pairing == pairing_id, entry.c.photo.is_not(None))
    )


def wanted(connection: Connection, pairing_id: str) -> list[str]:
    """Return the names of photos that entries of the pairing's devices wait for."""
    missing = _wants(pairing_id).outerjoin(photo, photo.c.sha256 == entry.c.photo).where(photo.c.sha256.is_(None))
    return list(connection.scalars(missing.distinct().order_by(entry.c.photo).limit(MOST_WANTED)))


def is_wanted_by(connection: Connection, pairing_id: str, sha256: str) -> bool:
    """Tell whether an entry of the pairing names the photo, whether it has come or not."""
    return connection.execute(_wants(pairing_id).where(entry.c.photo == sha256).limit(1)).first() is not None


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
