"""Takes a batch of entries into the store. No Flask: the demo shop comes this way too.

Everything happens in one transaction that holds the counter's lock, so entries become visible in order of seq. Its cost
depends on the batch alone, not on how much the job or the store holds: one look, then one statement for many rows.
"""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from server.records.entry_rules import (
    Verdict,
    as_kept,
    compare,
    digest_of,
    is_uuid,
    is_whole,
    judge,
    parked,
    photo_of,
    tables_of,
)
from server.records.summary import decides_state, summary_of
from server.store import Connection, photos, rings, shops
from server.store import entries as store
from server.store.sync_state import MOST_WANTED, Asked, JobSeen, Seen, look


@dataclass(frozen=True)
class Taken:
    """What became of a batch, and all that its answer hangs on."""

    results: list[dict]  # one an entry, in order
    seen: Seen  # what the store held before
    newest: tuple[int, str | None]  # seq and id of the last entry now
    reopened: bool  # something came for a job that was closed: phones may not have what it had
    high_water: int  # of the device that speaks
    has_twin: bool  # one of its numbers is used by two entries: somebody copied the phone
    wanted: list[str]  # photos


def take(
    connection: Connection,
    pairing_id: str,
    device_id: str,
    batch: list,
    now_ms: int,
    since_seq: int | None = None,
    lines: bool = False,
) -> Taken:
    """Store a batch. The transaction must not have read or written yet, but for the writers' turn."""
    judged = [Judged.of(entry) for entry in batch]
    fit = [each for each in judged if each.is_storable]
    last_seq, last_line = store.take_places(connection, len(fit), len({each.entry["job"] for each in fit}))
    own = [entry for entry in batch if isinstance(entry, dict) and entry.get("device") == device_id]
    numbers = [entry["n"] for entry in own if is_whole(entry.get("n"), 1)]
    asked = Asked(
        pairing_id, [device_id, *sorted({each.entry["device"] for each in fit} - {device_id})], since_seq,
        ids=[each.entry["id"] for each in fit], numbers=numbers, jobs=sorted({each.entry["job"] for each in fit}),
        digests=sorted({each.digest for each in judged if not each.is_storable}),
        photos=sorted({photo for each in fit if (photo := photo_of(each.entry))}), lines=lines,
    )  # fmt: skip
    seen = look(connection, asked)
    _park_plans_without_table(connection, judged)
    rows, aside = _sort(judged, seen, pairing_id, last_seq, now_ms)
    if len(rows) < len(fit):  # some are here already
        store.give_back(connection, last_seq + len(rows), last_line + len(_by_job(rows)))
    line_at = {job: last_line + k for k, (job, _) in enumerate(_by_job(rows), 1)}
    high_waters = _keep(connection, asked, seen, rows, list(aside.values()), line_at)
    deciding = {each.entry["job"] for each in fit if decides_state(each.entry)}
    _change_jobs(connection, seen, rows, line_at, deciding, now_ms)
    pairs = {(row["device"], row["photo"]) for row in rows if row["photo"] and row["photo"] not in seen.photos}
    photos.await_photos(connection, pairs - seen.awaited)
    by_number = defaultdict(set, {n: set(ids) for n, ids in seen.same.items()})
    for row in rows:
        if row["device"] == device_id:
            by_number[row["n"]].add(row["id"])
    return Taken(
        results=[_result(each.entry, each.verdict) for each in judged],
        seen=seen,
        newest=(rows[-1]["seq"], rows[-1]["id"]) if rows else seen.newest,
        reopened=any(seen.jobs[row["job"]].state != "open" for row in rows if row["job"] in seen.jobs),
        high_water=high_waters[device_id],
        has_twin=any(len(ids) > 1 for ids in by_number.values()),
        wanted=sorted({*seen.wanted, *(photo for _, photo in pairs)})[:MOST_WANTED],
    )


@dataclass
class Judged:
    entry: Any
    verdict: Verdict
    digest: str
    raw: str

    @classmethod
    def of(cls, entry) -> "Judged":
        raw = as_kept(entry)
        return cls(entry, judge(entry, raw), digest_of(entry), raw)

    @property
    def is_storable(self) -> bool:
        return self.verdict.reason != "unknown-format" and self.verdict.verdict != "refused"


def _park_plans_without_table(connection: Connection, judged: list[Judged]) -> None:
    """A plan of a store that was lost, or of nobody's ring set: it stays in its job, and other phones do without."""
    named = {id(each): tables_of(each.entry) for each in judged if each.verdict.verdict == "accepted"}
    missing = set().union(*named.values())
    missing -= rings.tables_held(connection, missing)
    for each in judged:
        if missing & named.get(id(each), set()):
            each.verdict = parked("unknown-table")


def _sort(judged: list[Judged], seen: Seen, pairing_id: str, last_seq: int, now_ms: int) -> tuple[list, dict]:
    """Return (rows of entries to add, rows to set aside by digest); what is held already changes its verdict."""
    rows, aside, held = [], {}, dict(seen.held)
    for each in judged:
        if each.is_storable:
            entry_id = each.entry["id"]
            if entry_id in held:
                each.verdict = compare(each.digest, *held[entry_id])
            else:
                held[entry_id] = (each.digest, False)
                rows.append(_row(each, pairing_id, last_seq + len(rows) + 1, now_ms))
        # An erased entry is not even set aside: that would keep what somebody has asked to have erased.
        verdict = each.verdict
        if (verdict.verdict == "refused" and verdict.reason != "erased") or verdict.reason == "unknown-format":
            aside[each.digest] = _row_aside(each, pairing_id, now_ms)
    return rows, aside


def _keep(connection, asked: Asked, seen: Seen, rows: list, aside: list, line_at: dict) -> dict[str, int]:
    """Write devices, the entries with their jobs, and what is set aside; return the devices' high waters."""
    late = [row["digest"] for row in aside if row["digest"] not in asked.digests]  # what was not storable after all
    known = seen.aside | store.set_aside_already(connection, late)
    aside = [row for row in aside if row["digest"] not in known]
    devices = {asked.devices[0], *(row["device"] for row in rows)}
    devices |= {row["device"] for row in aside} & seen.devices.keys()
    before = {each: seen.devices[each].high_water if each in seen.devices else 0 for each in devices}
    after = {each: _high_water(connection, each, before[each], seen, [*rows, *aside]) for each in devices}
    store.add_devices(connection, {each: after[each] for each in devices if each not in seen.devices})
    store.raise_high_waters(
        connection, {each: mark for each, mark in after.items() if each in seen.devices and mark > before[each]}
    )
    bound = {each for each in devices if each in seen.devices and seen.devices[each].is_bound}
    # a file that somebody brings tells nothing of what the phone still holds
    if asked.devices[0] in seen.devices.keys() - bound and shops.is_phone(connection, asked.pairing):
        shops.forget_unsent(connection, asked.devices[0])
    store.bind_devices(connection, asked.pairing, devices - bound)
    store.add_set_aside(connection, aside)
    new = [(job, added) for job, added in _by_job(rows) if job not in seen.jobs]
    store.add_jobs(connection, [_new_job(job, added, line_at[job]) for job, added in new])
    store.add_entries(connection, rows)
    return after


def _by_job(rows: list[dict]) -> list[tuple[str, list[dict]]]:
    by_job: dict[str, list[dict]] = {}
    for row in rows:
        by_job.setdefault(row["job"], []).append(row)
    return sorted(by_job.items())


def _high_water(connection, device: str, mark: int, seen: Seen, rows: list[dict]) -> int:
    """Return the device's mark, moved up over every n that is held or comes now without a gap, set aside or not.

    What is held above the mark is asked only where it can move that far: behind a gap there may be years of entries.
    """
    numbers = {row["n"] for row in rows if row["device"] == device}
    moved = _without_gap(mark, numbers)
    is_new = device not in seen.devices  # but something of it may have been set aside before
    if is_new or device in seen.behind or mark < moved < seen.last[device]:
        return _without_gap(mark, numbers | store.numbers_above(connection, device, mark))
    return moved


def _without_gap(mark: int, numbers: set[int]) -> int:
    while mark + 1 in numbers:
        mark += 1
    return mark


def _change_jobs(connection, seen: Seen, rows: list[dict], line_at: dict, deciding: set[str], now_ms: int) -> None:
    """Note each touched job as changed. What it says is derived when somebody reads it, but at once where its state may
    have become another, for by that goes what phones get.
    """
    changed = {job: _change(job, seen.jobs.get(job), added, line_at[job], now_ms) for job, added in _by_job(rows)}
    erased = {job for job in changed if job in seen.jobs and seen.jobs[job].state == store.ERASED}
    at_once = sorted(erased | deciding & changed.keys())
    sheets = store.entries_of_jobs(connection, at_once)
    store.change_jobs(connection, [changed[job] | summary_of(sheets[job]) for job in at_once])
    store.change_jobs(connection, [row for job, row in changed.items() if job in seen.jobs and job not in at_once])


def _change(job: str, old: JobSeen | None, added: list[dict], line_at: int, now_ms: int) -> dict:
    """Return what changes of a job whatever its entries say. Nothing of a closed job need be on a phone, so whatever
    comes for it brings it whole to every phone.
    """
    first_seq = added[0]["seq"]
    is_closed, is_erased = old is not None and old.state != "open", old is not None and old.state == store.ERASED
    return {
        "id": job, "changed_ms": now_ms, "last_seq": added[-1]["seq"], "found_by": None,
        "facts_version": 0, "line_at": line_at,
        "revived_seq": first_seq if is_closed else old.revived_seq if old else 0,
        "first_seq": first_seq if old is None or is_erased else old.first_seq,
    }  # fmt: skip


def _new_job(job_id: str, added: list[dict], line_at: int) -> dict:
    return {
        "id": job_id, "state": "open", "registration": "", "registration_keys": "", "vehicle": "", "conflicts": 0,
        "changed_ms": added[0]["received_ms"], "first_seq": added[0]["seq"], "last_seq": added[-1]["seq"],
        "revived_seq": 0, "began_ms": added[0]["received_ms"], "line_at": line_at,
    }  # fmt: skip


def _row(judged: Judged, pairing_id: str, seq: int, now_ms: int) -> dict:
    copied = {key: judged.entry[key] for key in ("id", "job", "device", "n", "kind")}
    return copied | {
        "seq": seq,
        "photo": photo_of(judged.entry),
        "pairing": pairing_id,
        "received_ms": now_ms,
        "raw": judged.raw,
        "digest": judged.digest,
        "erased_ms": None,
    }


def _row_aside(judged: Judged, pairing_id: str, now_ms: int) -> dict:
    fields = judged.entry if isinstance(judged.entry, dict) else {}
    return {
        "digest": judged.digest,
        "verdict": judged.verdict.verdict,
        "reason": judged.verdict.reason,
        "entry": _if(is_uuid, fields.get("id")),
        "device": _if(is_uuid, fields.get("device")),
        "n": _if(lambda n: is_whole(n, 1), fields.get("n")),
        "pairing": pairing_id,
        "received_ms": now_ms,
        "raw": judged.raw,
    }


def _if(holds, part):
    return part if holds(part) else None


def _result(entry, verdict: Verdict) -> dict:
    entry_id = entry.get("id") if isinstance(entry, dict) and isinstance(entry.get("id"), str) else None
    result = {"id": entry_id, "verdict": verdict.verdict}
    if verdict.reason:
        result |= {"reason": verdict.reason, "text": verdict.text}
    return result
