"""What each vehicle's newest signed job left in it, and by which keys jobs are of one vehicle. Within a transaction.

Rows are changed in transactions that hold the writers' turn, so that `at` grows with the commits; none is ever removed:
one that counts no more is empty, and phones hear of that too.
"""

import json

from sqlalchemy import Connection, delete, func, insert, select, update

from server.store.entries import ERASED
from server.store.memory_schema import fitting, vehicle_key
from server.store.schema import entry, job

_AT_ONCE = 5_000
_EMPTY = {"keys": "[]", "left": None, "right": None, "day": None}


def keep(connection: Connection, derived: dict[str, dict | None]) -> None:
    """Put what jobs left in their vehicles in the place of what was known. A job -> {"keys", "left", "right", "day",
    "is_signed"}, or None where it was erased.
    """
    near = _sharing(connection, list(derived))
    for ids in _in_parts(list(derived)):
        connection.execute(delete(vehicle_key).where(vehicle_key.c.job.in_(ids)))
    keys = [
        {"job": job_id, "what": what, "key": key}
        for job_id, of in derived.items()
        for what, key in (of["keys"] if of else ())
    ]
    if keys:
        connection.execute(insert(vehicle_key), keys)
    _put_signed(connection, derived)
    _settle(connection, near | _sharing(connection, list(derived)) | set(derived))


def _put_signed(connection: Connection, derived: dict) -> None:
    """Note of each job what it left, and when it was signed; nothing of it is sent before it is settled."""
    signed = [job_id for job_id, of in derived.items() if of and of["is_signed"]]
    seqs = _signing_seqs(connection, signed)
    known = _rows(connection, set(derived))
    for job_id, of in derived.items():
        row = {"signed_seq": seqs.get(job_id), "left_in": json.dumps(of) if job_id in seqs else None}
        if job_id in known:
            connection.execute(update(fitting).where(fitting.c.job == job_id).values(**row))
        elif job_id in seqs:
            connection.execute(insert(fitting).values(job=job_id, at=0, newest=False, **_EMPTY, **row))


def _signing_seqs(connection: Connection, ids: list[str]) -> dict[str, int]:
    query = select(entry.c.job, func.max(entry.c.seq).label("seq")).group_by(entry.c.job)
    query = query.where(entry.c.job.in_(ids), entry.c.kind == "job-signed")
    return {row.job: row.seq for row in connection.execute(query)}


def _settle(connection: Connection, ids: set[str]) -> None:
    """Say of each of the jobs anew whether it is its vehicle's newest, and what of it is sent."""
    wide = ids | _sharing(connection, list(ids))
    rows, keys = _rows(connection, wide), keys_of(connection, list(wide))
    signed = sorted((r for r in rows.values() if r["signed_seq"] is not None), key=lambda r: -r["signed_seq"])
    newest = _newest([(row["job"], keys.get(row["job"], [])) for row in signed])
    at = connection.scalar(select(func.max(fitting.c.at))) or 0
    for job_id in sorted(ids & rows.keys()):
        row, new = rows[job_id], dict(_EMPTY)
        if newest.get(job_id):
            left = json.loads(row["left_in"])
            new = {side: left[side] and json.dumps(left[side]) for side in ("left", "right")}
            new |= {"keys": json.dumps(sorted(newest[job_id])), "day": left["day"]}
        new["newest"] = job_id in newest
        if any(row[name] != part for name, part in new.items()):
            at += 1
            connection.execute(update(fitting).where(fitting.c.job == job_id).values(at=at, **new))


def _newest(signed: list[tuple[str, list]]) -> dict[str, list]:
    """Return the jobs after which none of the same vehicle was signed, each with the keys by which it is found.
    `signed`: (job, its keys), the newest first.

    A VIN in common is one vehicle; a registration in common too, unless both jobs name VINs: then the plate was moved,
    and the vehicle that had it before is found by its VIN alone. A job without a VIN is of the vehicle that had the
    plate last.
    """
    newest: dict[str, list] = {}
    vins, plates, plates_alone = set(), set(), set()
    for job_id, keys in signed:
        own_vins = {key for what, key in keys if what == "vin"}
        own_plates = {key for what, key in keys if what == "registration"}
        if not (own_vins & vins or own_plates & (plates_alone if own_vins else plates)):
            newest[job_id] = [[what, key] for what, key in keys if what == "vin" or key not in plates]
        vins |= own_vins
        plates |= own_plates
        plates_alone = plates_alone - own_plates if own_vins else plates_alone | own_plates
    return newest


def _rows(connection: Connection, ids: set[str]) -> dict[str, dict]:
    found = {}
    for part in _in_parts(sorted(ids)):
        found |= {row["job"]: dict(row) for row in connection.execute(_of(part)).mappings()}
    return found


def _of(ids: list[str]):
    return select(fitting).where(fitting.c.job.in_(ids))


def keys_of(connection: Connection, ids: list[str]) -> dict[str, list[tuple[str, str]]]:
    """Return job -> its (registration or vin, letters and digits)."""
    found: dict[str, list] = {}
    for part in _in_parts(ids):
        for row in connection.execute(select(vehicle_key).where(vehicle_key.c.job.in_(part))):
            found.setdefault(row.job, []).append((row.what, row.key))
    return found


def _sharing(connection: Connection, ids: list[str]) -> set[str]:
    """Return the jobs that have a key in common with any of these, themselves with them."""
    found = set()
    for part in _in_parts(ids):
        own = select(vehicle_key.c.key).where(vehicle_key.c.job.in_(part))
        found |= set(connection.scalars(select(vehicle_key.c.job).where(vehicle_key.c.key.in_(own)).distinct()))
    return found


def _in_parts(ids: list[str]):
    return (ids[start : start + _AT_ONCE] for start in range(0, len(ids), _AT_ONCE))


def after(connection: Connection, at: int, most: int) -> list[dict]:
    """Return up to `most` rows that changed after `at`, by `at`."""
    query = select(fitting).where(fitting.c.at > at).order_by(fitting.c.at).limit(most)
    return [dict(row) for row in connection.execute(query).mappings()]


def of_vehicle(connection: Connection, key: str, most: int) -> list[dict]:
    """Return the newest jobs of the vehicle with this registration or VIN, also under another plate of the same VIN:
    (the job's row, with `newest`, None where it was never signed, and `left_in`, what it left in the vehicle).
    """
    named = select(vehicle_key.c.job).where(vehicle_key.c.key == key)
    vins = select(vehicle_key.c.key).where(vehicle_key.c.job.in_(named), vehicle_key.c.what == "vin")
    # Asked for by itself: put as one question with "or", PostgreSQL looks through every key that there is.
    keys = {key, *connection.scalars(vins)}
    same = select(vehicle_key.c.job).where(vehicle_key.c.key.in_(keys))
    query = select(job, fitting.c.newest, fitting.c.left_in, fitting.c.signed_seq)
    query = query.outerjoin(fitting, fitting.c.job == job.c.id).where(job.c.id.in_(same), job.c.state != ERASED)
    rows = connection.execute(query.order_by(job.c.last_seq.desc()).limit(most)).mappings()
    return [row | {"left_in": row["left_in"] and json.loads(row["left_in"])} for row in map(dict, rows)]
