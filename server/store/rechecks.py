"""Rechecks that signed jobs have asked for, derived. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, select

from server.store.memory_schema import recheck
from server.store.schema import job


def due(connection: Connection, most: int) -> list[dict]:
    """Return up to `most` that nobody has done, each with its job: by their day, then those without one."""
    query = select(recheck, job.c.registration, job.c.vehicle, job.c.last_day).join(job, job.c.id == recheck.c.job)
    query = query.where(recheck.c.done_by.is_(None))
    query = query.order_by(
        recheck.c.due_day.is_(None), recheck.c.due_day, job.c.last_seq, recheck.c.job, recheck.c.number
    )
    return [dict(row) for row in connection.execute(query.limit(most)).mappings()]
