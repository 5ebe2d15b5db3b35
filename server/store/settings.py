"""The shop's settings, each a JSON value under its name. Every function takes a connection in a transaction."""

import json

from sqlalchemy import Connection, insert, select, update

from server.store.schema import setting


def get(connection: Connection, name: str):
    """Return the value, or None where it was never set."""
    found = connection.scalar(select(setting.c.value).where(setting.c.name == name))
    return None if found is None else json.loads(found)


def row(connection: Connection, name: str):
    """Return when and by whom a setting was last set (at_ms, by), or None."""
    return connection.execute(select(setting.c.at_ms, setting.c.by).where(setting.c.name == name)).one_or_none()


def put(connection: Connection, name: str, value, by: str, now_ms: int) -> None:
    content = {"value": json.dumps(value), "at_ms": now_ms, "by": by}
    changed = connection.execute(update(setting).where(setting.c.name == name).values(**content))
    if changed.rowcount == 0:
        connection.execute(insert(setting).values(name=name, **content))
