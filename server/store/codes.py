"""Pairing codes, kept as digests only. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, delete, insert, select, update

from server.store.schema import pairing_code


def add(connection: Connection, digest: str, name: str, made_by: str, now_ms: int) -> None:
    row = {"digest": digest, "name": name, "made_ms": now_ms, "made_by": made_by, "tries": 0}
    connection.execute(insert(pairing_code).values(**row))


def _is_alive(made_since_ms: int, most_tries: int):
    code = pairing_code.c
    return (code.used_ms.is_(None), code.made_ms > made_since_ms, code.tries < most_tries)


def use(connection: Connection, digest: str, made_since_ms: int, most_tries: int, now_ms: int):
    """Use a code up and return its row, or None where it is none, was used, is too old, or had too many tries.

    One statement decides, so of two who come at once one wins.
    """
    alive = _is_alive(made_since_ms, most_tries)
    used = update(pairing_code).where(pairing_code.c.digest == digest, *alive).values(used_ms=now_ms)
    if connection.execute(used).rowcount != 1:
        return None
    return connection.execute(select(pairing_code).where(pairing_code.c.digest == digest)).one()


def count_wrong_try(connection: Connection, made_since_ms: int, most_tries: int) -> None:
    """A wrong code may have been meant for any that is alive: it counts against all of them."""
    alive = _is_alive(made_since_ms, most_tries)
    connection.execute(update(pairing_code).where(*alive).values(tries=pairing_code.c.tries + 1))


def forget_old(connection: Connection, before_ms: int) -> None:
    connection.execute(delete(pairing_code).where(pairing_code.c.made_ms < before_ms))
