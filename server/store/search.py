"""Finds job sheets for the desk. Every function takes a connection in a transaction.

What is searched by is derived before a search (server/sync/derive.py), so that it reads one row per job and no entry.
"""

from dataclasses import dataclass, field

from sqlalchemy import Connection, and_, bindparam, func, literal_column, or_, select, update

from server.limits import LONGEST_PLATE
from server.store.entries import ERASED
from server.store.schema import entry, job, pairing

OF_A_LINE = ("state", "registration", "vehicle", "conflicts")
_IS_NOT_DERIVED = and_(job.c.found_by.is_(None), job.c.state != ERASED)


@dataclass(frozen=True)
class Wanted:
    """What a person looks for. `words`: each must stand somewhere, in lower case; or `key`, letters and digits alone,
    in a registration or VIN. Days are ISO dates, their milliseconds the same days by the server's clock.
    """

    words: list[str] = field(default_factory=list)
    key: str = ""
    state: str | None = None
    first_day: str | None = None
    last_day: str | None = None
    from_ms: int | None = None
    until_ms: int | None = None


def find(connection: Connection, wanted: Wanted, skip: int, most: int) -> tuple[list[dict], int]:
    """Return (`most` jobs from `skip` on, the newest change first; how many there are)."""
    conditions = _conditions(wanted)
    newest_first = (job.c.changed_ms.desc(), job.c.last_seq.desc())
    # Which they are is found by the index alone, however far behind: only those of the page are read.
    page = select(job.c.id).where(*conditions).order_by(*newest_first).offset(skip).limit(most).subquery()
    query = select(job).join(page, page.c.id == job.c.id).order_by(*newest_first)
    total = connection.scalar(select(func.count()).select_from(job).where(*conditions))
    return [dict(row) for row in connection.execute(query).mappings()], total


def _conditions(wanted: Wanted) -> list:
    conditions = [job.c.state == wanted.state] if wanted.state else [job.c.state != ERASED]
    texts = [and_(*(job.c.found_by.contains(word, autoescape=True) for word in wanted.words))] if wanted.words else []
    if wanted.key:
        texts += [keys.contains(wanted.key, autoescape=True) for keys in (job.c.registration_keys, job.c.vin_keys)]
    if texts:
        conditions.append(or_(*texts))
    if wanted.first_day is not None:
        conditions.append(or_(job.c.last_day >= wanted.first_day, job.c.changed_ms >= wanted.from_ms))
    if wanted.last_day is not None:
        conditions.append(or_(job.c.first_day <= wanted.last_day, job.c.began_ms < wanted.until_ms))
    return conditions


def of_vehicle(connection: Connection, registration_keys: list[str], vin_keys: list[str], most: int) -> list[str]:
    """Return the ids of the newest jobs that carry one of these registrations or VINs."""
    same = [job.c.registration_keys.contains(f" {key} ", autoescape=True) for key in registration_keys if _is_fit(key)]
    same += [job.c.vin_keys.contains(f" {key} ", autoescape=True) for key in vin_keys if _is_fit(key)]
    if not same:
        return []
    query = select(job.c.id).where(or_(*same)).order_by(job.c.changed_ms.desc(), job.c.last_seq.desc()).limit(most)
    return list(connection.scalars(query))


def _is_fit(key: str) -> bool:
    """Rows of an older program may hold keys of any length, and a pattern has a longest one."""
    return len(key) <= LONGEST_PLATE


def not_derived(connection: Connection) -> list[str]:
    """Return the jobs for which something has come since they were derived, or that an older program has stored."""
    return list(connection.scalars(select(job.c.id).where(_IS_NOT_DERIVED).order_by(job.c.id)))


def not_derived_among(connection: Connection, ids: list[str]) -> dict[str, dict]:
    """Return job -> what `keep_derived` wants to know of those of the jobs."""
    first_ms = select(func.min(entry.c.received_ms)).where(entry.c.job == job.c.id).scalar_subquery()
    began_ms = func.coalesce(job.c.began_ms, first_ms).label("began_ms")
    query = select(job.c.id, job.c.last_seq, began_ms).where(job.c.id.in_(ids), _IS_NOT_DERIVED)
    return {row.id: {"last_seq": row.last_seq, "began_ms": row.began_ms} for row in connection.execute(query)}


def lines_of(connection: Connection, ids: list[str]) -> dict[str, dict]:
    """Return job -> what deriving may change of its line, and the line's place."""
    query = select(job.c.id, job.c.line_at, *(job.c[name] for name in OF_A_LINE)).where(job.c.id.in_(ids))
    return {row["id"]: dict(row) for row in connection.execute(query).mappings()}


def keep_derived(connection: Connection, rows: list[dict]) -> None:
    """Keep what was derived of jobs up to their `last_seq`; nothing where more has come, or it was erased meanwhile."""
    if rows:
        renamed = {"id": "which", "last_seq": "until"}
        changes = [{renamed.get(name, name): part for name, part in row.items()} for row in rows]
        is_as_read = and_(job.c.id == bindparam("which"), job.c.last_seq == bindparam("until"), _IS_NOT_DERIVED)
        connection.execute(update(job).where(is_as_read), changes)


def closed_before(connection: Connection, before_ms: int, most: int) -> list[str]:
    """Return the closed jobs that nothing has come for since, the longest ago first."""
    query = select(job.c.id).where(job.c.state.in_(("signed", "stopped")), job.c.changed_ms < before_ms)
    return list(connection.scalars(query.order_by(job.c.changed_ms).limit(most)))


def number_closed_before(connection: Connection, before_ms: int) -> int:
    query = select(func.count()).select_from(job)
    return connection.scalar(query.where(job.c.state.in_(("signed", "stopped")), job.c.changed_ms < before_ms))


def open_since_before(connection: Connection, before_ms: int, most: int) -> tuple[list[dict], int]:
    """Return (the first `most` open jobs for which nothing has come since, the longest ago first, each with `last_raw`,
    its last entry; how many).
    """
    is_one = and_(job.c.state == literal_column("'open'"), job.c.changed_ms < before_ms)  # as the index says it
    query = select(job, entry.c.raw.label("last_raw")).outerjoin(entry, entry.c.seq == job.c.last_seq).where(is_one)
    query = query.order_by(job.c.changed_ms, job.c.last_seq).limit(most)
    total = connection.scalar(select(func.count()).select_from(job).where(is_one))
    return [dict(row) for row in connection.execute(query).mappings()], total


def open_jobs(connection: Connection, most: int) -> list[dict]:
    """Return the first `most` open jobs, the latest change first, each with `last_raw`, its last entry, and
    `brought_by`, the pairing that brought it.
    """
    query = select(job, entry.c.raw.label("last_raw"), pairing.c.name.label("brought_by"))
    query = query.outerjoin(entry, entry.c.seq == job.c.last_seq).outerjoin(pairing, pairing.c.id == entry.c.pairing)
    query = query.where(job.c.state == literal_column("'open'"))  # as the index says it
    query = query.order_by(job.c.changed_ms.desc(), job.c.last_seq.desc()).limit(most)
    return [dict(row) for row in connection.execute(query).mappings()]


def number_open(connection: Connection) -> int:
    return connection.scalar(select(func.count()).select_from(job).where(job.c.state == literal_column("'open'")))


def with_conflicts(connection: Connection, most: int) -> tuple[list[dict], int]:
    """Return (the first `most` jobs with two answers to a question, the longest ago first; how many)."""
    is_one = and_(job.c.conflicts > 0, job.c.state != ERASED)
    query = select(job).where(is_one).order_by(job.c.changed_ms, job.c.last_seq).limit(most)
    total = connection.scalar(select(func.count()).select_from(job).where(is_one))
    return [dict(row) for row in connection.execute(query).mappings()], total


def ids_in_state(connection: Connection, states: tuple[str, ...]) -> list[str]:
    return list(connection.scalars(select(job.c.id).where(job.c.state.in_(states)).order_by(job.c.first_seq)))


def newest_in_state(connection: Connection, states: tuple[str, ...], most: int) -> dict[str, int]:
    """Return job -> its last seq, the newest first."""
    query = select(job.c.id, job.c.last_seq).where(job.c.state.in_(states)).order_by(job.c.last_seq.desc())
    return {row.id: row.last_seq for row in connection.execute(query.limit(most))}
