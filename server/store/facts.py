"""What is derived of jobs beyond their line in the list. Every function takes a connection in a transaction."""

from dataclasses import dataclass

from sqlalchemy import Connection, and_, delete, func, insert, select, update

from server.store import fittings
from server.store.entries import ERASED
from server.store.memory_schema import job_gathered, job_part, recheck, ring_take, type_proposal, type_use
from server.store.schema import job, ring_set

_TABLES = {table.name: table for table in (job_part, recheck, ring_take, type_proposal, type_use)}


def due(connection: Connection, version: int) -> list[str]:
    """Return the jobs that something has come for since, or that an older program has derived.

    Put in order here: asked for in the order of ids, SQLite would walk through all of them.
    """
    query = select(job.c.id).where(job.c.facts_version < version, job.c.state != ERASED)
    return sorted(connection.scalars(query))


def gathered(connection: Connection, ids: list[str]) -> dict[str, tuple[int, str]]:
    """Return job -> (the last seq up to which it was gathered, JSON of what it gives to learn from)."""
    rows = connection.execute(select(job_gathered).where(job_gathered.c.job.in_(ids)))
    return {row.job: (row.last_seq, row.body) for row in rows}


def keep_gathered(connection: Connection, rows: list[dict]) -> None:
    """Put it in the place of what was kept of these jobs; the transaction has the writers' turn."""
    connection.execute(delete(job_gathered).where(job_gathered.c.job.in_([row["job"] for row in rows])))
    connection.execute(insert(job_gathered), rows)


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


_LOTS = ("ring-lot", "parts-lot")
_MANY = 5_000
_IS_SET = and_(ring_set.c.table == job_part.c.table, ring_set.c.id == job_part.c.key)


@dataclass(frozen=True)
class Recalled:
    """What a recall looks for: a part of a lot's key, or a ring set, perhaps in one revision."""

    lot: str = ""
    ring_set: str = ""
    revision: int | None = None


def recall(
    connection: Connection, wanted: Recalled, before_seq: int | None, most: int
) -> tuple[list[dict], int | None]:
    """Return (every part that it may be of the first `most` jobs behind that last seq, with its job, the newest job
    first; the last seq behind which the next ones are, None where there are none).
    """
    jobs = select(job.c.id, job.c.last_seq)
    jobs = jobs if before_seq is None else jobs.where(job.c.last_seq < before_seq)
    if wanted.lot or not _are_many(connection, wanted):  # found by their parts, then put in order
        jobs = jobs.where(job.c.id.in_(_of_revision(select(job_part.c.job).where(_is_recalled(wanted)), wanted)))
    else:  # walked through in their order until there are enough
        of_job = select(job_part.c.job).where(job_part.c.job == job.c.id, _is_set_walked(wanted)).limit(1)
        jobs = jobs.where(_of_revision(of_job, wanted).scalar_subquery().is_not(None))
    found = connection.execute(jobs.order_by(job.c.last_seq.desc()).limit(most + 1)).all()
    ids = [row.id for row in found[:most]]
    query = select(
        job_part, job.c.registration, job.c.registration_keys, job.c.vin_keys, job.c.vehicle,
        job.c.state.label("job_state"), job.c.first_day, job.c.last_day, ring_set.c.revision,
    )  # fmt: skip
    query = query.join(job, job.c.id == job_part.c.job)
    query = query.outerjoin(ring_set, _IS_SET).where(job_part.c.job.in_(ids))
    rows = connection.execute(query.order_by(job.c.last_seq.desc(), job_part.c.job, job_part.c.number)).mappings()
    after = found[most - 1].last_seq if len(found) > most else None
    return [dict(row) for row in rows if _is_one(row, wanted)], after


def _is_one(row, wanted: Recalled) -> bool:
    """What `_is_recalled` asks, of the few parts of jobs that are known to have one."""
    if wanted.lot:
        return row["what"] in _LOTS and wanted.lot in row["key"]
    is_set = row["what"] == "ring-set" and row["key"] == wanted.ring_set
    return is_set and (wanted.revision is None or row["revision"] in (None, wanted.revision))


def number_recalled(connection: Connection, wanted: Recalled) -> int:
    """Return how many jobs have it."""
    jobs = _of_revision(select(job_part.c.job).where(_is_recalled(wanted)), wanted)
    # PostgreSQL would sort them all for count(distinct).
    return connection.scalar(select(func.count()).select_from(jobs.distinct().subquery()))


def _is_recalled(wanted: Recalled):
    if wanted.lot:
        return and_(job_part.c.what.in_(_LOTS), job_part.c.key.contains(wanted.lot, autoescape=True))
    return and_(job_part.c.what == "ring-set", job_part.c.key == wanted.ring_set)


def _are_many(connection: Connection, wanted: Recalled) -> bool:
    parts = select(job_part.c.job).where(_is_recalled(wanted)).limit(_MANY)
    return connection.scalar(select(func.count()).select_from(parts.subquery())) == _MANY


def _is_set_walked(wanted: Recalled):
    """The same of the parts of one job. No index has these expressions: by that of keys SQLite would look through
    every job's parts again for each.
    """
    return and_(job_part.c.what.concat("") == "ring-set", job_part.c.key.concat("") == wanted.ring_set)


def _of_revision(query, wanted: Recalled):
    """A revision that no plan names is unknown and may be the one looked for."""
    if wanted.revision is None:
        return query
    is_it = (ring_set.c.revision == wanted.revision) | ring_set.c.revision.is_(None)
    return query.outerjoin(ring_set, _IS_SET).where(is_it)


def parts_of(connection: Connection, ids: list[str]) -> dict[str, list[dict]]:
    """Return job -> the part and lot numbers that were typed in it, each once."""
    query = select(job_part).where(job_part.c.job.in_(ids), job_part.c.what != "ring-set")
    found: dict[str, list[dict]] = {}
    for row in connection.execute(query.order_by(job_part.c.job, job_part.c.number)).mappings():
        parts = found.setdefault(row["job"], [])
        if all((row["side"], row["text"]) != (other["side"], other["text"]) for other in parts):
            parts.append(dict(row))
    return found
