"""Takes a batch of entries into the store and answers what the phone lacks. No Flask: the demo shop comes this way too.

Everything happens in one transaction that holds the counter's lock, so entries become visible in order of seq.
"""

import json
import uuid

from server.errors import Problem
from server.limits import KEPT_ON_PHONES_MS, MOST_ENTRIES, MOST_UNSENT
from server.store import Connection, photos, search, shops
from server.store import entries as store
from server.summary import summary_of
from server.sync import (
    Verdict,
    as_kept,
    compare,
    digest_of,
    is_uuid,
    is_whole,
    judge,
    photo_of,
)


def check_request(request) -> None:
    """Refuse a request whose frame is wrong; what is wrong with single entries is answered entry by entry."""
    if not isinstance(request, dict):
        raise Problem("wrong-request", field="body", expected="an object", got=type(request).__name__)
    batch, since = request.get("entries"), request.get("since")
    if not is_uuid(request.get("device")):
        raise Problem(
            "wrong-request", field="device", expected="a UUID of version 4 in lower case", got="something else"
        )
    if not isinstance(batch, list) or len(batch) > MOST_ENTRIES:
        got = f"{len(batch)} entries" if isinstance(batch, list) else "no list"
        raise Problem("wrong-request", field="entries", expected=f"a list of at most {MOST_ENTRIES}", got=got)
    unsent, version = request.get("unsent"), request.get("version")
    if unsent is not None and not _is_count(unsent, MOST_UNSENT):
        raise Problem("wrong-request", field="unsent", expected=f"null, or 0 to {MOST_UNSENT}", got="something else")
    if version is not None and not (isinstance(version, str) and len(version) <= 40 and version.isprintable()):
        raise Problem("wrong-request", field="version", expected="null, or at most 40 characters", got="something else")
    if since is not None and not (isinstance(since, dict) and {"epoch", "seq", "id"} <= since.keys()):
        raise Problem("wrong-request", field="since", expected="null, or epoch, seq and id", got="something else")


def _is_count(part, most: int) -> bool:
    """Tell whether it is a whole number from 0 to `most`; in JSON 3.0 is one."""
    return isinstance(part, int | float) and not isinstance(part, bool) and 0 <= part <= most and part == int(part)


def exchange(connection: Connection, pairing_id: str, request: dict, now_ms: int) -> dict:
    """Take the request's entries and return the whole answer. The transaction must not have read or written yet."""
    last_seq = store.take_turn(connection)
    device_id = request["device"]
    results = take(connection, pairing_id, device_id, request["entries"], last_seq, now_ms)
    high_water, backed_up_through = store.marks_of_device(connection, device_id)
    held_now = {r["id"] for r in results if r["verdict"] != "refused"}
    return {
        "results": results,
        **pull(connection, request.get("since"), held_now, now_ms),
        "high_water": high_water,
        "backed_up_through": backed_up_through,
        "wanted_photos": photos.wanted(connection, pairing_id),
        "new_device": _device_for_clone(connection, pairing_id, device_id, request["entries"]),
    }


def take(
    connection: Connection, pairing_id: str, device_id: str, batch: list, last_seq: int, now_ms: int
) -> list[dict]:
    """Store a batch and return one result per entry, in order. The counter's lock must be held."""
    judged = [(entry, judge(entry), digest_of(entry)) for entry in batch]
    held = store.held(connection, [e["id"] for e, v, _ in judged if v.verdict != "refused" and is_uuid(e["id"])])
    rows, aside, verdicts = [], {}, []
    for entry, verdict, digest in judged:
        if verdict.reason != "unknown-format" and verdict.verdict != "refused":
            if entry["id"] in held:
                verdict = compare(digest, *held[entry["id"]])
            else:
                held[entry["id"]] = (digest, False)
                rows.append(_row(entry, digest, pairing_id, last_seq + len(rows) + 1, now_ms))
        # An erased entry is not even set aside: that would keep what somebody has asked to have erased.
        if (verdict.verdict == "refused" and verdict.reason != "erased") or verdict.reason == "unknown-format":
            aside[digest] = _row_aside(entry, digest, verdict, pairing_id, now_ms)
        verdicts.append((entry, verdict))
    _keep(connection, pairing_id, device_id, rows, aside, now_ms)
    return [_result(entry, verdict) for entry, verdict in verdicts]


def _keep(connection, pairing_id, device_id, rows, aside, now_ms) -> None:
    devices = {device_id} | {row["device"] for row in rows}
    store.add_devices(connection, pairing_id, devices)
    known = store.set_aside_already(connection, list(aside))
    store.add_set_aside(connection, [row for digest, row in aside.items() if digest not in known])
    if rows:
        store.give_seqs(connection, len(rows))
        _keep_with_jobs(connection, rows, now_ms)
    for each in sorted(devices):
        store.raise_high_water(connection, each)


def _keep_with_jobs(connection, rows, now_ms) -> None:
    """Add the entries, then derive each touched job again from all of its entries."""
    first_seq: dict[str, int] = {}
    last_seq: dict[str, int] = {}
    for row in rows:
        first_seq.setdefault(row["job"], row["seq"])
        last_seq[row["job"]] = row["seq"]
    before = store.job_rows(connection, list(first_seq))
    new = [job for job in first_seq if job not in before]
    store.add_jobs(connection, [_new_job(job, first_seq[job], now_ms) for job in new])
    store.add_entries(connection, rows)
    photos.await_photos(connection, rows)
    for job in first_seq:
        changes = summary_of(store.entries_of_job(connection, job))
        changes |= {"changed_ms": now_ms, "last_seq": last_seq[job]}
        old = before.get(job)
        if old and old["state"] != "open" and old["changed_ms"] < now_ms - KEPT_ON_PHONES_MS:
            changes["revived_seq"] = first_seq[job]
        if old and old["state"] == store.ERASED:
            changes["first_seq"] = first_seq[job]
        store.change_job(connection, job, changes)


def derive_again(connection: Connection) -> None:
    """Derive the jobs that an older program has stored without what this one searches by."""
    for job in search.not_derived(connection):
        began = {"began_ms": search.began_ms(connection, job)}
        store.change_job(connection, job, summary_of(store.entries_of_job(connection, job)) | began)


def _new_job(job_id: str, seq: int, now_ms: int) -> dict:
    return {
        "id": job_id, "state": "open", "registration": "", "registration_keys": "", "vehicle": "", "conflicts": 0,
        "changed_ms": now_ms, "first_seq": seq, "last_seq": seq, "revived_seq": 0, "began_ms": now_ms,
    }  # fmt: skip


def _row(entry: dict, digest: str, pairing_id: str, seq: int, now_ms: int) -> dict:
    copied = {key: entry[key] for key in ("id", "job", "device", "n", "kind")}
    return copied | {
        "seq": seq,
        "photo": photo_of(entry),
        "pairing": pairing_id,
        "received_ms": now_ms,
        "raw": as_kept(entry),
        "digest": digest,
    }


def _row_aside(entry, digest: str, verdict: Verdict, pairing_id: str, now_ms: int) -> dict:
    fields = entry if isinstance(entry, dict) else {}
    return {
        "digest": digest,
        "verdict": verdict.verdict,
        "reason": verdict.reason,
        "entry": _if(is_uuid, fields.get("id")),
        "device": _if(is_uuid, fields.get("device")),
        "n": _if(lambda n: is_whole(n, 1), fields.get("n")),
        "pairing": pairing_id,
        "received_ms": now_ms,
        "raw": as_kept(entry),
    }


def _if(holds, part):
    return part if holds(part) else None


def _result(entry, verdict: Verdict) -> dict:
    entry_id = entry.get("id") if isinstance(entry, dict) and isinstance(entry.get("id"), str) else None
    result = {"id": entry_id, "verdict": verdict.verdict}
    if verdict.reason:
        result |= {"reason": verdict.reason, "text": verdict.text}
    return result


def _device_for_clone(connection, pairing_id: str, device_id: str, batch: list) -> str | None:
    """Give a fresh device id to a phone one of whose own numbers is taken by another entry."""
    own = [e for e in batch if isinstance(e, dict) and e.get("device") == device_id]
    numbers = [e["n"] for e in own if is_whole(e.get("n"), 1)]
    if not store.has_twins(connection, device_id, numbers):
        return None
    fresh = str(uuid.uuid4())
    store.add_devices(connection, pairing_id, {fresh})
    return fresh


def pull(connection: Connection, since: dict | None, held_by_phone: set[str], now_ms: int) -> dict:
    """Return one page of what the phone lacks, and where the next one begins."""
    epoch = shops.epoch(connection)
    restart = since is not None and not _is_ours(connection, since, epoch)
    start = {"epoch": epoch, "seq": 0, "id": None} if since is None or restart else since
    kept_from_ms = now_ms - KEPT_ON_PHONES_MS
    rows = store.page(connection, start["seq"], kept_from_ms, MOST_ENTRIES + 1)
    more, rows = len(rows) > MOST_ENTRIES, rows[:MOST_ENTRIES]
    incomplete = store.incomplete(connection, list({row.job for row in rows}), start["seq"], kept_from_ms)
    sent = store.earlier(connection, incomplete, start["seq"]) + rows
    last = {"epoch": epoch, "seq": rows[-1].seq, "id": rows[-1].id} if rows else start
    return {
        "entries": [json.loads(row.raw) for row in sent if row.id not in held_by_phone],
        "next": {key: last[key] for key in ("epoch", "seq", "id")},
        "more": more,
        "restart": restart,
    }


def _is_ours(connection, since: dict, epoch: str) -> bool:
    if since["epoch"] != epoch or not is_whole(since["seq"], 0):
        return False
    if since["seq"] == 0:
        return since["id"] is None
    return store.holds_at(connection, since["seq"], since["id"])
