"""Ring sets and their tables, named by hash. Every function takes a connection in a transaction.

A ring set is untrusted where its measuring could not vouch for the data and a person kept them all the same. That
stands beside the data (`origin`), never in the table, so that a change of trust changes no table's name.
"""

import json

from sqlalchemy import Connection, insert, select, update

from server.store.schema import ring_set, ring_table

_NAMES_AT_ONCE = 10_000


def add(connection: Connection, ring_set_json: dict, table_name: str, table_bytes: bytes, **made) -> None:
    """Store a revision of a ring set with its table. Neither ever changes afterwards.

    `made`: retired, made_ms, made_by, origin (JSON), where it was made at the desk. Raises AlreadyThere where that
    revision is there already.
    """
    if table_content(connection, table_name) is None:
        connection.execute(insert(ring_table).values(sha256=table_name, content=table_bytes))
    connection.execute(
        insert(ring_set).values(
            id=ring_set_json["id"],
            revision=ring_set_json["revision"],
            name=ring_set_json["name"],
            ring_set=json.dumps(ring_set_json),
            table=table_name,
            **{"retired": False} | made,
        )
    )


def all_sets(connection: Connection) -> list[dict]:
    """Return every revision of every ring set, by id and revision."""
    rows = connection.execute(select(ring_set).order_by(ring_set.c.id, ring_set.c.revision))
    return [_as_json(row) for row in rows]


def newest_of_each(connection: Connection) -> list[dict]:
    """Return the newest revision of every ring set, by id."""
    return list({row["id"]: row for row in all_sets(connection)}.values())


def revisions(connection: Connection, ring_set_id: str) -> list[dict]:
    """Return every revision of one ring set, the newest first, with when, by whom and from what it was made."""
    query = select(ring_set).where(ring_set.c.id == ring_set_id).order_by(ring_set.c.revision.desc())
    return [
        _as_json(row)
        | {"made_ms": row.made_ms, "made_by": row.made_by, "origin": row.origin and json.loads(row.origin)}
        for row in connection.execute(query)
    ]


def set_retired(connection: Connection, ring_set_id: str, retired: bool) -> int:
    """Retire a ring set with all its revisions, or bring it back; return how many revisions there are."""
    changed = update(ring_set).where(ring_set.c.id == ring_set_id).values(retired=retired)
    return connection.execute(changed).rowcount


def table_content(connection: Connection, sha256: str) -> bytes | None:
    return connection.scalar(select(ring_table.c.content).where(ring_table.c.sha256 == sha256))


def tables_held(connection: Connection, names: set[str]) -> set[str]:
    """Return those of the names under which there is a table; asked in parts, for a statement takes only so many."""
    ordered = sorted(names)
    parts = [ordered[k : k + _NAMES_AT_ONCE] for k in range(0, len(ordered), _NAMES_AT_ONCE)]
    column = ring_table.c.sha256
    return {name for part in parts for name in connection.scalars(select(column).where(column.in_(part)))}


def offered_to_older_phones(rows: list[dict]) -> list[dict]:
    """Return the revisions that a phone may have which cannot tell an untrusted set: it would recommend it in silence.

    Where the newest revision is untrusted the older ones go too: somebody has taken them out of use for it.
    """
    untrusted = {row["id"] for row in {row["id"]: row for row in rows}.values() if not row["trusted"]}
    return [row for row in rows if row["trusted"] and row["id"] not in untrusted]


def doubts_in(origin: dict | None) -> list[str]:
    """Return what the measuring could not vouch for, as codes of calc/measure, each once."""
    return list(dict.fromkeys(reason["code"] for reason in (origin or {}).get("reasons", [])))


def _as_json(row) -> dict:
    doubts = doubts_in(row.origin and json.loads(row.origin))
    return {
        "id": row.id,
        "name": row.name,
        "revision": row.revision,
        "table": row.table,
        "retired": row.retired,
        "trusted": not doubts,
        "doubts": doubts,
        "ring_set": json.loads(row.ring_set),
    }
