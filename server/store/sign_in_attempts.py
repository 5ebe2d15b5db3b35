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


def failures(connection: Connection, what: str, since_ms: int, until_ms: int, **of: str) -> tuple[int, int]:
    """Return (how many failed, time of the last one or 0) in that time, of a `name`, an `address`, or both."""
    query = select(func.count(), func.coalesce(func.max(attempt.c.at_ms), 0)).where(
        attempt.c.what == what, attempt.c.at_ms > since_ms, attempt.c.at_ms < until_ms, attempt.c.succeeded.is_(False)
    )
    for column, given in of.items():
        query = query.where(attempt.c[column] == given)
    number, last_ms = connection.execute(query).one()
    return number, last_ms


def last_success_ms(connection: Connection, what: str, name: str, address: str, until_ms: int) -> int:
    """Return when that name last succeeded from that address, up to and with `until_ms`, or 0."""
    query = select(func.coalesce(func.max(attempt.c.at_ms), 0)).where(
        attempt.c.what == what, attempt.c.name == name, attempt.c.address == address, attempt.c.at_ms <= until_ms,
        attempt.c.succeeded.is_(True),
    )  # fmt: skip
    return connection.scalar(query)


def forget_far(connection: Connection, now_ms: int, failed_ms: int, succeeded_ms: int) -> None:
    """Forget failures and successes that are further from now than that, before or behind."""
    for succeeded, far_ms in ((False, failed_ms), (True, succeeded_ms)):
        is_near = attempt.c.at_ms.between(now_ms - far_ms, now_ms + far_ms)
        connection.execute(delete(attempt).where(attempt.c.succeeded.is_(succeeded), ~is_near))
