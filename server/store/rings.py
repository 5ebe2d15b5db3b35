"""Ring sets and their tables, named by hash. Every function takes a connection in a transaction."""

import json

from sqlalchemy import Connection, insert, select

from server.store.schema import ring_set, ring_table


def add(connection: Connection, ring_set_json: dict, table_name: str, table_bytes: bytes) -> None:
    """Store a revision of a ring set with its table. Neither ever changes afterwards."""
    if table_content(connection, table_name) is None:
        connection.execute(insert(ring_table).values(sha256=table_name, content=table_bytes))
    connection.execute(
        insert(ring_set).values(
            id=ring_set_json["id"],
            revision=ring_set_json["revision"],
            name=ring_set_json["name"],
            ring_set=json.dumps(ring_set_json),
            table=table_name,
            retired=False,
        )
    )


def all_sets(connection: Connection) -> list[dict]:
    """Return every revision of every ring set, by id and revision."""
    rows = connection.execute(select(ring_set).order_by(ring_set.c.id, ring_set.c.revision))
    return [
        {
            "id": row.id,
            "name": row.name,
            "revision": row.revision,
            "table": row.table,
            "retired": row.retired,
            "ring_set": json.loads(row.ring_set),
        }
        for row in rows
    ]


def table_content(connection: Connection, sha256: str) -> bytes | None:
    return connection.scalar(select(ring_table.c.content).where(ring_table.c.sha256 == sha256))
