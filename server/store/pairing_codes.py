"""Pairing codes, kept as digests only. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, and_, delete, insert, select, update

from server.store.schema import pairing_code


def add(connection: Connection, digest: str, name: str, made_by: str, now_ms: int) -> None:
    row = {"digest": digest, "name": name, "made_ms": now_ms, "made_by": made_by, "tries": 0}
    connection.execute(insert(pairing_code).values(**row))


def use(connection: Connection, digest: str, now_ms: int):
    """Use a code up and return its row, or None where it is none, was used, or is forgotten.

    One statement decides, so of two who come at once one wins.
    """
    alive = (pairing_code.c.digest == digest, pairing_code.c.used_ms.is_(None))
    used = update(pairing_code).where(*alive).values(used_ms=now_ms)
    if connection.execute(used).rowcount != 1:
        return None
    return connection.execute(select(pairing_code).where(pairing_code.c.digest == digest)).one()


def forget_far(connection: Connection, now_ms: int, life_ms: int) -> None:
    """Forget codes that were not made within their life; one of the future comes from a clock that was wrong."""
    is_near = and_(pairing_code.c.made_ms > now_ms - life_ms, pairing_code.c.made_ms < now_ms + life_ms)
    connection.execute(delete(pairing_code).where(~is_near))
