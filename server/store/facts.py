"""What is derived of jobs beyond their line in the list. Every function takes a connection in a transaction."""

from dataclasses import dataclass

from sqlalchemy import Connection, delete, insert, select, update

from server.store import fittings
from server.store.entries import ERASED
from server.store.memory_schema import job_part, recheck, ring_take, type_proposal, type_use
from server.store.schema import job, ring_set

_TABLES = {table.name: table for table in (job_part, recheck, ring_take, type_proposal, type_use)}


def due(connection: Connection, version: int) -> list[str]:
    """Return the jobs that something has come for since, or that an older program has derived."""
    query = select(job.c.id).where(job.c.facts_version < version, job.c.state != ERASED)
    return list(connection.scalars(query.order_by(job.c.id)))


def last_seqs(connection: Connection, ids: list[str]) -> dict[str, int]:
    """Return job -> its last seq, erased ones left out."""
    query = select(job.c.id, job.c.last_seq).where(job.c.id.in_(ids), job.c.state != ERASED)
    return {row.id: row.last_seq for row in connection.execute(query)}


def keep(connection: Connection, facts: dict[str, dict], version: int) -> None:
    """Put what was derived in the place of what was known of these jobs."""
    _remove(connection, list(facts))
    for name, table in _TABLES.items():
        rows = [row | {"job": job_id} for job_id, of_job in facts.items() for row in of_job[name]]
        if rows:
            connection.execute(insert(table), rows)
    fittings.keep(connection, {job_id: of_job["fitting"] for job_id, of_job in facts.items()})
    connection.execute(update(job).where(job.c.id.in_(facts)).values(facts_version=version))


def forget(connection: Connection, job_id: str) -> None:
    """Take out what is known of a job that was erased; the transaction has the writers' turn."""
    _remove(connection, [job_id], kept=(ring_take,))
    fittings.keep(connection, {job_id: None})


def _remove(connection: Connection, ids: list[str], kept: tuple = ()) -> None:
    for table in (each for each in _TABLES.values() if each not in kept):
        connection.execute(delete(table).where(table.c.job.in_(ids)))


@dataclass(frozen=True)
class Recalled:
    """What a recall looks for: a part of a lot's key, or a ring set, perhaps in one revision."""

    lot: str = ""
    ring_set: str = ""
    revision: int | None = None


def recall(connection: Connection, wanted: Recalled) -> list[dict]:
    """Return every part that it may be, with its job; the newest job first. A revision that no plan names is unknown
    and may be the one looked for.
    """
    query = select(
        job_part, job.c.registration, job.c.registration_keys, job.c.vin_keys, job.c.vehicle,
        job.c.state.label("job_state"), job.c.first_day, job.c.last_day, ring_set.c.revision,
    )  # fmt: skip
    query = query.join(job, job.c.id == job_part.c.job)
    query = query.outerjoin(ring_set, (ring_set.c.table == job_part.c.table) & (ring_set.c.id == job_part.c.key))
    if wanted.lot:
        query = query.where(
            job_part.c.what.in_(("ring-lot", "parts-lot")), job_part.c.key.contains(wanted.lot, autoescape=True)
        )
    else:
        query = query.where(job_part.c.what == "ring-set", job_part.c.key == wanted.ring_set)
        if wanted.revision is not None:
            query = query.where((ring_set.c.revision == wanted.revision) | ring_set.c.revision.is_(None))
    rows = connection.execute(query.order_by(job.c.last_seq.desc(), job_part.c.job, job_part.c.number)).mappings()
    return [dict(row) for row in rows]


def parts_of(connection: Connection, ids: list[str]) -> dict[str, list[dict]]:
    """Return job -> the part and lot numbers that were typed in it, each once."""
    query = select(job_part).where(job_part.c.job.in_(ids), job_part.c.what != "ring-set")
    found: dict[str, list[dict]] = {}
    for row in connection.execute(query.order_by(job_part.c.job, job_part.c.number)).mappings():
        parts = found.setdefault(row["job"], [])
        if all((row["side"], row["text"]) != (other["side"], other["text"]) for other in parts):
            parts.append(dict(row))
    return found
