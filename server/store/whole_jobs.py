"""What a phone that names its whole jobs is sent, by index however long the shop has worked. In a transaction.

Such a phone has every entry of those jobs up to its place, so that what came behind it is all that it lacks.
"""

from sqlalchemy import Connection, and_, func, or_, select

from server.store.entries import ERASED
from server.store.schema import backup, counter, entry, job, shop


def page(connection: Connection, jobs: set[str], since_seq: int, newest_seq: int, most: int) -> list:
    """Return up to `most` rows (seq, id, raw, erased_ms) that came for the jobs behind `since_seq`, by seq."""
    ids = _changed(connection, jobs, since_seq, newest_seq, most)
    if not ids:
        return []
    # By the index alone: which of many entries are the first needs none of their texts.
    first = select(entry.c.seq).where(entry.c.job.in_(ids), entry.c.seq > since_seq)
    first = first.order_by(entry.c.seq).limit(most).subquery()
    query = select(entry.c.seq, entry.c.id, entry.c.raw, entry.c.erased_ms).join(first, first.c.seq == entry.c.seq)
    return list(connection.execute(query.order_by(entry.c.seq)))


def _changed(connection: Connection, jobs: set[str], since_seq: int, newest_seq: int, most: int) -> list[str]:
    """Return those of the jobs that have something on a page. Of those begun behind `since_seq` the first `most` are
    enough, for each has an entry at its first_seq.
    """
    if newest_seq - since_seq <= len(jobs):  # less to read than to ask for
        came = select(entry.c.job).where(entry.c.seq > since_seq).distinct()
        return [job_id for job_id in connection.scalars(came) if job_id in jobs]
    query = select(job.c.id, job.c.first_seq).where(
        job.c.id.in_(jobs), job.c.last_seq > since_seq, job.c.state != ERASED
    )
    rows = connection.execute(query.order_by(job.c.first_seq)).all() if jobs else []
    begun = [row.id for row in rows if row.first_seq <= since_seq]
    return begun + [row.id for row in rows if row.first_seq > since_seq][:most]


def sizes(connection: Connection, ids: list[str], until_seq: int) -> dict[str, int]:
    """Return job -> characters of its entries up to and with `until_seq`, without those that were erased."""
    query = select(entry.c.job, func.sum(func.length(entry.c.raw)).label("size")).group_by(entry.c.job)
    query = query.where(entry.c.job.in_(ids), entry.c.seq <= until_seq, entry.c.erased_ms.is_(None))
    return {row.job: row.size for row in connection.execute(query)}


def counters(connection: Connection):
    """Return the row (epoch, lines: the last place given to a line, backed_up_seq: what the best backup holds)."""
    backed_up = select(func.coalesce(func.max(backup.c.seq), 0)).scalar_subquery().label("backed_up_seq")
    epoch = select(shop.c.epoch).scalar_subquery().label("epoch")
    return connection.execute(select(epoch, counter.c.lines, backed_up).where(counter.c.name == "entry")).one()


def lines(connection: Connection, at: int, began: int, kept_from_ms: int, held: set[str], most: int) -> list:
    """Return the rows of up to `most` jobs whose lines changed behind `at`, in the order of changing. Of those up to
    `began` only the ones that are open, changed since `kept_from_ms`, or among `held`, erased or not. `is_due`: it has
    to be derived before it is shown.
    """
    query = select(
        job.c.id, job.c.line_at, job.c.state, job.c.registration, job.c.vehicle, job.c.conflicts, job.c.changed_ms,
        job.c.last_seq, ((job.c.found_by.is_(None)) & (job.c.state != ERASED)).label("is_due"),
    ).where(job.c.line_at > at)  # fmt: skip
    if at < began:
        is_lately = and_(job.c.state != ERASED, job.c.changed_ms >= kept_from_ms)
        query = query.where(or_(job.c.line_at > began, job.c.state == "open", is_lately, job.c.id.in_(held)))
    return list(connection.execute(query.order_by(job.c.line_at).limit(most)))
