"""Places and how many ring pairs are in each. Every function takes a connection in a transaction.

A count is what the desk has added, moved and counted there, less what jobs took from it; nothing keeps it above zero.
"""

import uuid

from sqlalchemy import Connection, func, insert, select, update

from server.store.memory_schema import place, ring_move, ring_take
from server.store.schema import job


def places(connection: Connection) -> list[dict]:
    """Return every place, those in use first, by name."""
    return [dict(row) for row in connection.execute(select(place).order_by(place.c.retired, place.c.name)).mappings()]


def add_place(connection: Connection, name: str) -> str:
    new = str(uuid.uuid4())
    connection.execute(insert(place).values(id=new, name=name, retired=False))
    return new


def set_retired(connection: Connection, place_id: str, retired: bool) -> int:
    """Retire a place or bring it back; return how many there are of that id."""
    return connection.execute(update(place).where(place.c.id == place_id).values(retired=retired)).rowcount


def add_move(connection: Connection, row: dict) -> None:
    connection.execute(insert(ring_move).values(id=str(uuid.uuid4()), **row))


def newest_moves(connection: Connection, most: int) -> list[dict]:
    query = select(ring_move).order_by(ring_move.c.at_ms.desc(), ring_move.c.id).limit(most)
    return [dict(row) for row in connection.execute(query).mappings()]


def counts(connection: Connection) -> dict[tuple[str, str], int]:
    """Return (place, ring set) -> pairs."""
    moved = select(ring_move.c.place, ring_move.c.ring_set, func.sum(ring_move.c.pairs).label("pairs"))
    taken = select(ring_take.c.place, ring_take.c.ring_set, func.count().label("pairs"))
    taken = taken.where(ring_take.c.place.in_(select(place.c.id)))
    found: dict[tuple[str, str], int] = {}
    for row in connection.execute(moved.group_by(ring_move.c.place, ring_move.c.ring_set)):
        found[row.place, row.ring_set] = int(row.pairs)
    for row in connection.execute(taken.group_by(ring_take.c.place, ring_take.c.ring_set)):
        found[row.place, row.ring_set] = found.get((row.place, row.ring_set), 0) - row.pairs
    return found


def taken_from_nowhere(connection: Connection) -> dict[str, int]:
    """Return ring set -> pairs that jobs took which name no place, of jobs begun since that set was first counted."""
    first = (
        select(ring_move.c.ring_set, func.min(ring_move.c.seq).label("seq")).group_by(ring_move.c.ring_set).subquery()
    )
    query = select(ring_take.c.ring_set, func.count().label("pairs")).join(job, job.c.id == ring_take.c.job)
    query = query.join(first, first.c.ring_set == ring_take.c.ring_set).where(job.c.first_seq > first.c.seq)
    query = query.where(ring_take.c.place.is_(None) | ring_take.c.place.not_in(select(place.c.id)))
    return {row.ring_set: row.pairs for row in connection.execute(query.group_by(ring_take.c.ring_set))}
