"""Entries, the jobs derived from them, and what was set aside. Every function takes a connection in a transaction."""

import json

from sqlalchemy import Connection, and_, func, insert, or_, select, union_all, update

from server.store.schema import counter, device, entry, job, pairing, pairing_device, set_aside

_ENTRIES = "entry"
ERASED = "erased"  # the state of a job whose entries are shells


def take_turn(connection: Connection) -> int:
    """Lock the counter until the transaction ends, and return the last seq given. A writer begins with this."""
    connection.execute(update(counter).where(counter.c.name == _ENTRIES).values(value=counter.c.value + 0))
    return connection.execute(select(counter.c.value).where(counter.c.name == _ENTRIES)).scalar_one()


def give_seqs(connection: Connection, number: int) -> None:
    """Count `number` further seqs as given."""
    connection.execute(update(counter).where(counter.c.name == _ENTRIES).values(value=counter.c.value + number))


def held(connection: Connection, ids: list[str]) -> dict[str, tuple[str, bool]]:
    """Return id -> (digest, whether it was erased) of those of `ids` that the store holds."""
    rows = connection.execute(select(entry.c.id, entry.c.digest, entry.c.erased_ms).where(entry.c.id.in_(ids)))
    return {row.id: (row.digest, row.erased_ms is not None) for row in rows}


def set_aside_already(connection: Connection, digests: list[str]) -> set[str]:
    return set(connection.scalars(select(set_aside.c.digest).where(set_aside.c.digest.in_(digests))))


def add_entries(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(entry), rows)


def add_set_aside(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(set_aside), rows)


def add_devices(connection: Connection, pairing_id: str, ids: set[str]) -> None:
    """Make sure that the devices exist and belong to the pairing."""
    known = set(connection.scalars(select(device.c.id).where(device.c.id.in_(ids))))
    linked = set(
        connection.scalars(
            select(pairing_device.c.device).where(
                pairing_device.c.pairing == pairing_id, pairing_device.c.device.in_(ids)
            )
        )
    )
    for new in sorted(ids - known):
        connection.execute(insert(device).values(id=new, high_water=0, backed_up_through=0))
    for new in sorted(ids - linked):
        connection.execute(insert(pairing_device).values(pairing=pairing_id, device=new))


def marks_of_device(connection: Connection, device_id: str) -> tuple[int, int]:
    """Return (high water, backed up through); (0, 0) for a device that the store does not know."""
    row = connection.execute(select(device).where(device.c.id == device_id)).one_or_none()
    return (row.high_water, row.backed_up_through) if row else (0, 0)


def raise_high_water(connection: Connection, device_id: str) -> None:
    """Move the device's high water up over every n that is held without a gap, set aside or not."""
    mark = marks_of_device(connection, device_id)[0]
    numbers = set()
    for table in (entry, set_aside):
        above = select(table.c.n).where(table.c.device == device_id, table.c.n > mark)
        numbers |= set(connection.scalars(above))
    while mark + 1 in numbers:
        mark += 1
    connection.execute(update(device).where(device.c.id == device_id).values(high_water=mark))


def has_twins(connection: Connection, device_id: str, numbers: list[int]) -> bool:
    """Tell whether one of the device's numbers is used by two entries: somebody copied the phone."""
    doubled = (
        select(entry.c.n)
        .where(entry.c.device == device_id, entry.c.n.in_(numbers))
        .group_by(entry.c.n)
        .having(func.count() > 1)
    )
    return connection.execute(doubled.limit(1)).first() is not None


def entries_of_job(connection: Connection, job_id: str) -> list[dict]:
    """Return the job's entries that were not erased, in order of seq."""
    rows = connection.scalars(
        select(entry.c.raw).where(entry.c.job == job_id, entry.c.erased_ms.is_(None)).order_by(entry.c.seq)
    )
    return [json.loads(raw) for raw in rows]


def received_of_job(connection: Connection, job_id: str) -> dict[str, int]:
    """Return entry id -> server time of its arrival, in ms."""
    rows = connection.execute(select(entry.c.id, entry.c.received_ms).where(entry.c.job == job_id))
    return {row.id: row.received_ms for row in rows}


def job_rows(connection: Connection, ids: list[str]) -> dict[str, dict]:
    return {row["id"]: dict(row) for row in connection.execute(select(job).where(job.c.id.in_(ids))).mappings()}


def add_jobs(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(job), rows)


def change_job(connection: Connection, job_id: str, changes: dict) -> None:
    connection.execute(update(job).where(job.c.id == job_id).values(**changes))


def find_jobs(connection: Connection, registration_key: str | None = None, most: int = 200) -> list[dict]:
    """Return the newest jobs first; with `registration_key` (letters and digits) only those of that registration."""
    newest_first = (job.c.changed_ms.desc(), job.c.last_seq.desc())
    query = select(job).where(job.c.state != ERASED).order_by(*newest_first).limit(most)
    if registration_key is not None:
        query = query.where(job.c.registration_keys.contains(f" {registration_key} ", autoescape=True))
    return [dict(row) for row in connection.execute(query).mappings()]


def rows_of_job(connection: Connection, job_id: str, kinds: tuple[str, ...] = ()) -> list:
    """Return every entry of a job in order of seq, the shells of erased ones too, with how it came:
    (raw, seq, received_ms, erased_ms, pairing: its name). With `kinds` only those.
    """
    query = (
        select(entry.c.raw, entry.c.seq, entry.c.received_ms, entry.c.erased_ms, pairing.c.name.label("pairing"))
        .join(pairing, pairing.c.id == entry.c.pairing)
        .where(entry.c.job == job_id, entry.c.raw != "")
        .order_by(entry.c.seq)
    )
    return list(connection.execute(query.where(entry.c.kind.in_(kinds)) if kinds else query))


def holds_at(connection: Connection, seq: int, entry_id: str) -> bool:
    """Tell whether the entry of that seq has that id."""
    return connection.scalar(select(entry.c.id).where(entry.c.seq == seq)) == entry_id


def page(connection: Connection, since_seq: int, kept_from_ms: int, most: int) -> list:
    """Return up to `most` rows (seq, id, job, raw), in order of seq, that a phone at `since_seq` must hear about.

    Those are entries of every job begun before, because the phone may hold a part of it, and of the open or lately
    changed (since `kept_from_ms`) jobs begun after. Of the latter the first `most` are enough: each has an entry at its
    first_seq, so whatever a later job has comes behind them. That keeps a page cheap in a shop of any size.
    """
    begun = select(job.c.id).where(job.c.first_seq <= since_seq, job.c.last_seq > since_seq)
    # Adding nothing keeps the database from choosing these columns' indexes: first_seq is the one that ends early.
    state, changed_ms = job.c.state.concat(""), job.c.changed_ms + 0
    is_kept = or_(state == "open", and_(state != ERASED, changed_ms >= kept_from_ms))
    new = select(job.c.id).where(job.c.first_seq > since_seq, is_kept).order_by(job.c.first_seq).limit(most)
    query = (
        select(entry.c.seq, entry.c.id, entry.c.job, entry.c.raw)
        .where(entry.c.job.in_(union_all(begun, select(new.subquery().c.id))))
        .where(entry.c.seq > since_seq, entry.c.erased_ms.is_(None))
        .order_by(entry.c.seq)
        .limit(most)
    )
    return list(connection.execute(query))


def incomplete(connection: Connection, job_ids: list[str], since_seq: int, kept_from_ms: int) -> list[str]:
    """Return those of the jobs, begun before `since_seq`, whose earlier entries a phone there may not have."""
    came_back = or_(job.c.revived_seq > since_seq, and_(job.c.state != "open", job.c.changed_ms < kept_from_ms))
    query = select(job.c.id).where(job.c.id.in_(job_ids), job.c.first_seq <= since_seq, came_back)
    return list(connection.scalars(query))


def earlier(connection: Connection, job_ids: list[str], until_seq: int) -> list:
    """Return the rows of these jobs up to and with `until_seq`, in order of seq."""
    if not job_ids:
        return []
    query = (
        select(entry.c.seq, entry.c.id, entry.c.raw)
        .where(entry.c.job.in_(job_ids), entry.c.seq <= until_seq, entry.c.erased_ms.is_(None))
        .order_by(entry.c.seq)
    )
    return list(connection.execute(query))
