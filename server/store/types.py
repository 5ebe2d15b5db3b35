"""Vehicle types: revisions, which never change, what jobs propose, and what was decided. Within a transaction."""

import hashlib
import json

from sqlalchemy import Connection, func, insert, select

from server.store.entries import ERASED
from server.store.memory_schema import type_decision, type_proposal, type_use, vehicle_type
from server.store.schema import job


def newest_of_each(connection: Connection, parsed: bool = True) -> list[dict]:
    """Return the newest revision of every type, by make and model as they are matched; unparsed as it is kept."""
    last = select(vehicle_type.c.id, func.max(vehicle_type.c.revision).label("revision")).group_by(vehicle_type.c.id)
    last = last.subquery()
    query = select(vehicle_type).join(
        last, (last.c.id == vehicle_type.c.id) & (last.c.revision == vehicle_type.c.revision)
    )
    query = query.order_by(vehicle_type.c.match, vehicle_type.c.id)
    rows = connection.execute(query).mappings()
    return [_as_json(row) if parsed else dict(row) for row in rows]


def marks(connection: Connection) -> list:
    """Return what differs wherever the list of types does: a revision never changes, but what an entry proposes does,
    where other answers of its job say that a part was replaced.
    """
    newest = select(vehicle_type.c.id, func.max(vehicle_type.c.revision)).group_by(vehicle_type.c.id)
    waiting = select(type_proposal.c.entry, type_proposal.c.job, type_proposal.c.body).outerjoin(
        type_decision, type_decision.c.entry == type_proposal.c.entry
    )
    waiting = waiting.where(type_decision.c.entry.is_(None)).order_by(type_proposal.c.entry)
    known = connection.execute(newest.order_by(vehicle_type.c.id))
    said = [[entry, job_id, _digest(body)] for entry, job_id, body in connection.execute(waiting)]
    return [[list(row) for row in known], said]


def revisions(connection: Connection, type_id: str) -> list[dict]:
    """Return every revision of a type, the newest first."""
    query = select(vehicle_type).where(vehicle_type.c.id == type_id).order_by(vehicle_type.c.revision.desc())
    return [_as_json(row) for row in connection.execute(query).mappings()]


def add(connection: Connection, row: dict) -> None:
    """Add a revision; raises AlreadyThere where it is there. `row`: `body` and `jobs` are JSON values."""
    kept = row | {"body": json.dumps(row["body"], separators=(",", ":")), "jobs": json.dumps(row["jobs"])}
    connection.execute(insert(vehicle_type).values(**kept))


def pending(connection: Connection, ids: list[str] | None = None) -> list[dict]:
    """Return the proposals on which nobody has decided, of these entries or of all, in the order of their coming."""
    query = select(type_proposal, job.c.registration, job.c.last_day).join(job, job.c.id == type_proposal.c.job)
    query = query.outerjoin(type_decision, type_decision.c.entry == type_proposal.c.entry)
    query = query.where(type_decision.c.entry.is_(None))
    if ids is not None:
        query = query.where(type_proposal.c.entry.in_(ids))
    query = query.order_by(type_proposal.c.match, job.c.first_seq, type_proposal.c.number)
    return [dict(row) | json.loads(row["body"]) for row in connection.execute(query).mappings()]


def decide(connection: Connection, ids: list[str], decision: dict) -> None:
    """Say what became of proposals; raises AlreadyThere where somebody has decided on one meanwhile."""
    if ids:
        connection.execute(insert(type_decision), [decision | {"entry": entry} for entry in ids])


def users(connection: Connection, type_id: str) -> list[dict]:
    """Return the jobs that took facts from the type, each with the newest revision that it took; open ones first."""
    query = select(
        job.c.id, job.c.registration, job.c.state, job.c.last_day, func.max(type_use.c.revision).label("revision")
    )
    query = query.join(type_use, type_use.c.job == job.c.id).where(type_use.c.type == type_id, job.c.state != ERASED)
    query = query.group_by(job.c.id, job.c.registration, job.c.state, job.c.last_day, job.c.last_seq)
    rows = connection.execute(query.order_by(job.c.state != "open", job.c.last_seq.desc())).mappings()
    return [dict(row) for row in rows]


def _digest(body: str) -> str:
    return hashlib.sha256(body.encode()).hexdigest()


def _as_json(row) -> dict:
    return dict(row) | {"body": json.loads(row["body"]), "jobs": json.loads(row["jobs"])}
