"""The shop, its pairings and the record of backups. Every function takes a connection in a transaction."""

import uuid
from dataclasses import dataclass

from sqlalchemy import Connection, and_, func, insert, select, update

from server.store.schema import backup, counter, device, entry, pairing, pairing_device, photo, shop

_ENTRIES = "entry"


def shop_row(connection: Connection):
    """Return the shop (name, demo, epoch), or None before there is one."""
    return connection.execute(select(shop)).one_or_none()


def epoch(connection: Connection) -> str:
    return connection.execute(select(shop.c.epoch)).scalar_one()


def add_shop(connection: Connection, name: str, demo: bool) -> None:
    connection.execute(insert(shop).values(id=1, name=name, demo=demo, epoch=str(uuid.uuid4())))
    connection.execute(insert(counter).values(name=_ENTRIES, value=0))


def add_pairing(connection: Connection, name: str, now_ms: int, made_by: str | None = None) -> str:
    """Make a pairing and return its id."""
    new = str(uuid.uuid4())
    row = {"id": new, "name": name, "made_ms": now_ms, "contact_ms": now_ms, "made_by": made_by}
    connection.execute(insert(pairing).values(**row))
    return new


def pairing_row(connection: Connection, pairing_id: str):
    return connection.execute(select(pairing).where(pairing.c.id == pairing_id)).one_or_none()


def sent_by(connection: Connection, pairing_id: str) -> int:
    """Return how many entries of the pairing's devices are held without a gap; cheap, it is asked at every sync."""
    held = select(func.coalesce(func.sum(device.c.high_water), 0)).join_from(pairing_device, device)
    return int(connection.execute(held.where(pairing_device.c.pairing == pairing_id)).scalar_one())


def end_pairing(connection: Connection, pairing_id: str, now_ms: int) -> None:
    connection.execute(update(pairing).where(pairing.c.id == pairing_id).values(revoked_ms=now_ms))


def note_contact(connection: Connection, pairing_id: str, now_ms: int, said: dict) -> None:
    """Note a sync, and what the phone said of itself: `unsent`, `version`, `kept`."""
    connection.execute(update(pairing).where(pairing.c.id == pairing_id).values(contact_ms=now_ms, **said))


def forget_unsent(connection: Connection, device_id: str) -> None:
    """The phone speaks under a new pairing now: what it said of itself under earlier ones holds no more."""
    earlier = select(pairing_device.c.pairing).where(pairing_device.c.device == device_id)
    connection.execute(update(pairing).where(pairing.c.id.in_(earlier)).values(unsent=None))


def is_phone(connection: Connection, pairing_id: str) -> bool:
    """Tell a phone's pairing from that of an imported file."""
    return connection.scalar(select(pairing.c.file).where(pairing.c.id == pairing_id)) is None


def phones(connection: Connection) -> list:
    """Return the pairings of phones and browsers: those in force first, the latest contact first."""
    is_phone = select(pairing).where(pairing.c.file.is_(None))
    return list(connection.execute(is_phone.order_by(pairing.c.revoked_ms.is_not(None), pairing.c.contact_ms.desc())))


def begin_epoch(connection: Connection) -> None:
    """Make every phone begin again from its beginning: this store is another one than the phones knew."""
    connection.execute(update(shop).values(epoch=str(uuid.uuid4())))


@dataclass(frozen=True)
class BackupRecord:
    """What a backup holds: everything to `seq`, and of each device every n to its high water."""

    id: str
    made_ms: int
    epoch: str
    seq: int
    high_waters: dict[str, int]


def what_is_held(connection: Connection, backup_id: str, now_ms: int) -> BackupRecord:
    """Return the record of a backup of what this connection sees."""
    high_waters = {row.id: row.high_water for row in connection.execute(select(device.c.id, device.c.high_water))}
    return BackupRecord(backup_id, now_ms, epoch(connection), last_seq(connection), high_waters)


def record_backup(connection: Connection, record: BackupRecord) -> None:
    """Record a backup; marks only rise, should an older one be recorded after a newer one."""
    connection.execute(insert(backup).values(id=record.id, made_ms=record.made_ms, seq=record.seq))
    for device_id, mark in sorted(record.high_waters.items()):  # in the order in which syncs lock devices
        is_behind = and_(device.c.id == device_id, device.c.backed_up_through < mark)
        connection.execute(update(device).where(is_behind).values(backed_up_through=mark))


def last_backup(connection: Connection):
    """Return the row (made_ms, seq) of the backup that holds most, of such ones the newest; or None."""
    return connection.execute(select(backup).order_by(backup.c.seq.desc(), backup.c.made_ms.desc()).limit(1)).first()


def last_seq(connection: Connection) -> int:
    return connection.scalar(select(counter.c.value).where(counter.c.name == _ENTRIES)) or 0


def numbers(connection: Connection) -> dict[str, int]:
    """Return how many entries and photos there are."""
    count = lambda table: connection.scalar(select(func.count()).select_from(table))  # noqa: E731
    return {"entries": count(entry), "photos": count(photo)}
