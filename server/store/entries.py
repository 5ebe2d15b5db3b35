"""Entries, the jobs derived from them, and what was set aside. Every function takes a connection in a transaction."""

import json

from sqlalchemy import Connection, and_, bindparam, case, func, insert, literal, or_, select, union_all, update

from server.store.schema import counter, device, entry, job, pairing, pairing_device, set_aside

_ENTRIES = "entry"
ERASED = "erased"  # the state of a job whose entries are shells


def take_turn(connection: Connection, seqs: int = 0) -> int:
    """Lock the counter until the transaction ends; return the last seq given before. A writer begins with this.

    `seqs` further ones are given. Whoever uses fewer brings the counter back by `give_back`.
    """
    return take_places(connection, seqs, 0)[0]


def take_places(connection: Connection, seqs: int, lines: int) -> tuple[int, int]:
    """The same where jobs' lines change too: return the last seq and the last place of a line given before."""
    further = {"value": counter.c.value + seqs, "lines": counter.c.lines + lines}
    taken = update(counter).where(counter.c.name == _ENTRIES).values(**further)
    last = connection.execute(taken.returning(counter.c.value, counter.c.lines)).one()
    return last.value - seqs, last.lines - lines


def give_back(connection: Connection, last_seq: int, last_line: int | None = None) -> None:
    """Say up to which seq they were used, and up to which place of a line where such were taken."""
    used = {"value": last_seq} | ({} if last_line is None else {"lines": last_line})
    connection.execute(update(counter).where(counter.c.name == _ENTRIES).values(**used))


def set_aside_already(connection: Connection, digests: list[str]) -> set[str]:
    if not digests:
        return set()
    return set(connection.scalars(select(set_aside.c.digest).where(set_aside.c.digest.in_(digests))))


def add_entries(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(entry), rows)


def add_set_aside(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(set_aside), rows)


def add_devices(connection: Connection, high_waters: dict[str, int]) -> None:
    """Add devices that the store does not know."""
    rows = [{"id": new, "high_water": mark, "backed_up_through": 0} for new, mark in sorted(high_waters.items())]
    if rows:
        connection.execute(insert(device), rows)


def bind_devices(connection: Connection, pairing_id: str, ids: set[str]) -> None:
    """Let devices belong to a pairing that they did not belong to."""
    if ids:
        connection.execute(insert(pairing_device), [{"pairing": pairing_id, "device": new} for new in sorted(ids)])


def raise_high_waters(connection: Connection, high_waters: dict[str, int]) -> None:
    """Note up to which n devices are held without a gap; in order of id, as a backup takes them."""
    rows = [{"which": known, "high_water": mark} for known, mark in sorted(high_waters.items())]
    if rows:
        connection.execute(update(device).where(device.c.id == bindparam("which")), rows)


def numbers_above(connection: Connection, device_id: str, mark: int) -> set[int]:
    """Return every n of the device beyond `mark` that is held, set aside or not."""
    above = (select(table.c.n).where(table.c.device == device_id, table.c.n > mark) for table in (entry, set_aside))
    return set(connection.scalars(union_all(*above)))


def high_water(connection: Connection, device_id: str) -> int:
    return connection.scalar(select(device.c.high_water).where(device.c.id == device_id)) or 0


def entries_of_job(connection: Connection, job_id: str) -> list[dict]:
    """Return the job's entries that were not erased, in order of seq."""
    rows = connection.scalars(
        select(entry.c.raw).where(entry.c.job == job_id, entry.c.erased_ms.is_(None)).order_by(entry.c.seq)
    )
    return [json.loads(raw) for raw in rows]


def entries_of_jobs(connection: Connection, ids: list[str]) -> dict[str, list[dict]]:
    """Return the same of several jobs, by job."""
    found: dict[str, list[dict]] = {job_id: [] for job_id in ids}
    query = select(entry.c.job, entry.c.raw).where(entry.c.job.in_(ids), entry.c.erased_ms.is_(None))
    for row in connection.execute(query.order_by(entry.c.job, entry.c.seq)) if ids else ():
        found[row.job].append(json.loads(row.raw))
    return found


def received_of_job(connection: Connection, job_id: str) -> dict[str, int]:
    """Return entry id -> server time of its arrival, in ms."""
    rows = connection.execute(select(entry.c.id, entry.c.received_ms).where(entry.c.job == job_id))
    return {row.id: row.received_ms for row in rows}


def job_rows(connection: Connection, ids: list[str]) -> dict[str, dict]:
    return {row["id"]: dict(row) for row in connection.execute(select(job).where(job.c.id.in_(ids))).mappings()}


def add_jobs(connection: Connection, rows: list[dict]) -> None:
    if rows:
        connection.execute(insert(job), rows)


def change_jobs(connection: Connection, rows: list[dict]) -> None:
    """Change what each row says of the job `id`; all rows say something of the same columns."""
    if rows:
        changes = [{"which" if name == "id" else name: part for name, part in row.items()} for row in rows]
        connection.execute(update(job).where(job.c.id == bindparam("which")), changes)


def find_jobs(connection: Connection, registration_key: str | None = None, most: int = 200) -> list[dict]:
    """Return the newest jobs first; with `registration_key` (letters and digits) only those of that registration."""
    newest_first = (job.c.changed_ms.desc(), job.c.last_seq.desc())
    query = select(job).where(job.c.state != ERASED).order_by(*newest_first).limit(most)
    if registration_key is not None:
        query = query.where(job.c.registration_keys.contains(f" {registration_key} ", autoescape=True))
    return [dict(row) for row in connection.execute(query).mappings()]


def rows_of_job(connection: Connection, job_id: str) -> list:
    """Return every entry of a job in order of seq, the shells of erased ones too, with how it came:
    (raw, seq, received_ms, erased_ms, pairing: its name).
    """
    query = (
        select(entry.c.raw, entry.c.seq, entry.c.received_ms, entry.c.erased_ms, pairing.c.name.label("pairing"))
        .join(pairing, pairing.c.id == entry.c.pairing)
        .where(entry.c.job == job_id, entry.c.raw != "")
        .order_by(entry.c.seq)
    )
    return list(connection.execute(query))


def raws_of_jobs(connection: Connection, ids: list[str], kinds: tuple[str, ...], naming: str) -> dict[str, list[str]]:
    """Return job -> its entries of those kinds, and those whose text has `naming`, in order of seq, the shells of
    erased ones too.
    """
    found: dict[str, list[str]] = {job_id: [] for job_id in ids}
    is_wanted = or_(entry.c.kind.in_(kinds), entry.c.raw.contains(naming, autoescape=True))
    query = select(entry.c.job, entry.c.raw).where(entry.c.job.in_(ids), is_wanted, entry.c.raw != "")
    for row in connection.execute(query.order_by(entry.c.job, entry.c.seq)):
        found[row.job].append(row.raw)
    return found


def page(connection: Connection, since_seq: int, kept_from_ms: int, most: int) -> list:
    """Return up to `most` rows (seq, id, job, raw, came_back), by seq, that a phone at `since_seq` must hear about.

    Those are entries of every job begun before, because the phone may hold a part of it, and of the open or lately
    changed (since `kept_from_ms`) jobs begun after. Of the latter the first `most` are enough: each has an entry at its
    first_seq, so whatever a later job has comes behind them. That keeps a page cheap in a shop of any size.
    `came_back`: the job was begun before, and a phone there may not have what it had till then.
    """
    is_old = and_(job.c.state != "open", job.c.changed_ms < kept_from_ms)
    came_back = case((or_(job.c.revived_seq > since_seq, is_old), 1), else_=0).label("came_back")
    begun = select(job.c.id, came_back).where(job.c.first_seq <= since_seq, job.c.last_seq > since_seq)
    # Adding nothing keeps the database from choosing these columns' indexes: first_seq is the one that ends early.
    state, changed_ms = job.c.state.concat(""), job.c.changed_ms + 0
    is_kept = or_(state == "open", and_(state != ERASED, changed_ms >= kept_from_ms))
    new = select(job.c.id, literal(0).label("came_back")).where(job.c.first_seq > since_seq, is_kept)
    new = new.order_by(job.c.first_seq).limit(most).subquery()
    heard_of = union_all(begun, select(new)).subquery()
    # Without statistics (in its first minute) PostgreSQL takes "is null" for rare, and would compare all with all.
    is_whole = func.coalesce(entry.c.erased_ms, -1) < 0
    query = (
        select(entry.c.seq, entry.c.id, entry.c.job, entry.c.raw, heard_of.c.came_back)
        .join(heard_of, heard_of.c.id == entry.c.job)
        .where(entry.c.seq > since_seq, is_whole)
        .order_by(entry.c.seq)
        .limit(most)
    )
    return list(connection.execute(query))


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
