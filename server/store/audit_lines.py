"""Who did what at the desk and with the phones: lines are added and read, never changed."""

import uuid

from sqlalchemy import Connection, insert, select

from server.store.schema import audit

COMMAND_LINE = "the command line of the server"  # who did it, where no person signed in


def add(connection: Connection, what: str, who: str, address: str, about: str, now_ms: int) -> None:
    row = {"id": str(uuid.uuid4()), "at_ms": now_ms, "what": what, "who": who, "address": address, "about": about}
    connection.execute(insert(audit).values(**row))


def newest(connection: Connection, most: int) -> list:
    return list(connection.execute(select(audit).order_by(audit.c.at_ms.desc(), audit.c.id).limit(most)))
