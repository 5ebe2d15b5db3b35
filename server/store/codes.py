"""Pairing codes, kept as digests only. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, delete, insert, select, update

from server.store.schema import pairing_code


def add(connection: Connection, digest: str, name: str, made_by: str, now_ms: int) -> None:
    row = {"digest": digest, "name": name, "made_ms": now_ms, "made_by": made_by, "tries": 0}
    connection.execute(insert(pairing_code).values(**row))


def use(connection: Connection, digest: str, made_since_ms: int, now_ms: int):
    """Use a code up and return its row, or None where it is none, was used, or is too old.

    One statement decides, so of two who come at once one wins.
    """
    code = pairing_code.c
    alive = (code.digest == digest, code.used_ms.is_(None), code.made_ms > made_since_ms)
    used = update(pairing_code).where(*alive).values(used_ms=now_ms)
    if connection.execute(used).rowcount != 1:
        return None
    return connection.execute(select(pairing_code).where(pairing_code.c.digest == digest)).one()


def forget_old(connection: Connection, before_ms: int) -> None:
    connection.execute(delete(pairing_code).where(pairing_code.c.made_ms < before_ms))
