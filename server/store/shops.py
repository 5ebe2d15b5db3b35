"""The shop, its pairings and the record of backups. Every function takes a connection in a transaction."""

import uuid

from sqlalchemy import Connection, insert, select, update

from server.store.schema import backup, counter, device, pairing, shop

_ENTRIES = "entry"


def shop_row(connection: Connection):
    """Return the shop (name, demo, epoch), or None before there is one."""
    return connection.execute(select(shop)).one_or_none()


def epoch(connection: Connection) -> str:
    return connection.execute(select(shop.c.epoch)).scalar_one()


def add_shop(connection: Connection, name: str, demo: bool) -> None:
    connection.execute(insert(shop).values(id=1, name=name, demo=demo, epoch=str(uuid.uuid4())))
    connection.execute(insert(counter).values(name=_ENTRIES, value=0))


def add_pairing(connection: Connection, name: str, now_ms: int) -> str:
    """Make a pairing and return its id."""
    new = str(uuid.uuid4())
    connection.execute(insert(pairing).values(id=new, name=name, made_ms=now_ms, contact_ms=now_ms))
    return new


def pairing_row(connection: Connection, pairing_id: str):
    return connection.execute(select(pairing).where(pairing.c.id == pairing_id)).one_or_none()


def end_pairing(connection: Connection, pairing_id: str, now_ms: int) -> None:
    connection.execute(update(pairing).where(pairing.c.id == pairing_id).values(revoked_ms=now_ms))


def note_contact(connection: Connection, pairing_id: str, now_ms: int) -> None:
    connection.execute(update(pairing).where(pairing.c.id == pairing_id).values(contact_ms=now_ms))


def record_backup(connection: Connection, seq: int, high_waters: dict[str, int], now_ms: int) -> None:
    """Record that a backup holds everything to `seq`, and of each device every n to its high water there."""
    connection.execute(insert(backup).values(id=str(uuid.uuid4()), made_ms=now_ms, seq=seq))
    for device_id, mark in high_waters.items():
        connection.execute(update(device).where(device.c.id == device_id).values(backed_up_through=mark))


def high_waters(connection: Connection) -> dict[str, int]:
    return {row.id: row.high_water for row in connection.execute(select(device.c.id, device.c.high_water))}
