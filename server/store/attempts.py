"""Tries to sign in or to pair, for all processes together. Every function takes a connection in a transaction."""

import uuid

from sqlalchemy import Connection, delete, func, insert, select, update

from server.store.schema import attempt


def add(connection: Connection, what: str, name: str, address: str, now_ms: int) -> str:
    """Note a try, as failed until it is known to have succeeded. Returns its id."""
    new = str(uuid.uuid4())
    row = {"id": new, "what": what, "name": name, "address": address, "at_ms": now_ms, "succeeded": False}
    connection.execute(insert(attempt).values(**row))
    return new


def note_success(connection: Connection, attempt_id: str) -> None:
    connection.execute(update(attempt).where(attempt.c.id == attempt_id).values(succeeded=True))


def failures(connection: Connection, what: str, since_ms: int, **of: str) -> tuple[int, int]:
    """Return (how many failed, time of the last one or 0) after `since_ms`, of a `name`, an `address`, or both."""
    query = select(func.count(), func.coalesce(func.max(attempt.c.at_ms), 0)).where(
        attempt.c.what == what, attempt.c.at_ms > since_ms, attempt.c.succeeded.is_(False)
    )
    for column, given in of.items():
        query = query.where(attempt.c[column] == given)
    number, last_ms = connection.execute(query).one()
    return number, last_ms


def last_success_ms(connection: Connection, what: str, name: str, address: str) -> int:
    """Return when that name last succeeded from that address, or 0."""
    query = select(func.coalesce(func.max(attempt.c.at_ms), 0)).where(
        attempt.c.what == what, attempt.c.name == name, attempt.c.address == address, attempt.c.succeeded.is_(True)
    )
    return connection.scalar(query)


def forget_old(connection: Connection, failed_before_ms: int, succeeded_before_ms: int) -> None:
    failed = attempt.c.succeeded.is_(False)
    connection.execute(delete(attempt).where(failed, attempt.c.at_ms < failed_before_ms))
    connection.execute(delete(attempt).where(~failed, attempt.c.at_ms < succeeded_before_ms))
