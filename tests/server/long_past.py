"""A shop of many years, by inserting rows: finished jobs with all that is derived of them, and some at work.

Each job is a real one with other names in it, so that every page has something to read. Five jobs are of one vehicle,
twenty had rings of one lot; what is looked for is found as often in a large past as in a small one.
"""

import json
import random
import re
import time
import uuid

from sqlalchemy import insert, select, update

from server.records.entry_rules import as_kept
from server.records.job_facts import VERSION, facts_of, lot_key
from server.records.summary import summary_of
from server.store import Database, memory_schema, rings, schema, shops
from server.store import entries as store_entries
from tests.server.demo_desk import plan_body, reading
from tests.server.phones import an_entry

OPEN_JOBS, LEFT_OPEN = 200, 30  # at work, and of these for which nothing has come in 90 days
JOBS_OF_VEHICLE, JOBS_OF_LOT = 5, 20
SPAN_MS, LARGEST = 10 * 365 * 24 * 3600 * 1000, 100_000  # how long the largest past is, in jobs and years
PLATE, VIN, LOT, MAKER = "QQ00000QQ", "WTMQQ000000000000", "LOT-QQ-000000", "Orrin Tamsel estate, 2019 (invented)"
_DAY = "2026-11-25"  # of phones.an_entry
_DAY_MS = 24 * 3600 * 1000
_AT_ONCE = 1_000


def template(ring_sets: list[dict]) -> list[dict]:
    """Return the entries of one signed job: readings, a plan, rings that went in, a recheck that somebody has done."""
    job = str(uuid.uuid4())
    body = plan_body(ring_sets, {"left": (-1640, 420), "right": (-1120, 60)}, (12, 31))
    camber, toe = body["plan"]["predicted"]["left"]
    says = lambda slot, value: an_entry("field-set", {"value": value}, slot, job=job)  # noqa: E731
    recheck = says(
        "finish.recheck-after",
        {"recheck": {"distance": None, "day": "2026-12-24", "source": "common-practice", "page": ""}},
    )
    entries = [
        an_entry("job-opened", {"checklist": 2}, job=job),
        says("vehicle.registration", PLATE),
        says("vehicle.description", MAKER),
        says("vehicle.vin", VIN),
        an_entry("reading-taken", reading(-1640, 420), "base.left.1", job=job),
        an_entry("reading-taken", reading(-1120, 60), "base.right.1", job=job),
        an_entry("reading-taken", reading(-1110, 50), "base.right.2", job=job),
        an_entry("plan-chosen", body, "round.1.plan", job=job),
        says("prepare.left.ring-lot", LOT),
        an_entry("step-done", {}, "fit.left.rings-in", job=job),
        an_entry("reading-taken", reading(camber + 20, toe - 10), "round.1.check.left.1", job=job),
        recheck,
        says("finish.recheck-done", {"recheck_of": [recheck["id"]], "by": "Ines Tavell", "day": "2026-12-20"}),
    ]
    return [*entries, an_entry("job-signed", {"covers": [entry["id"] for entry in entries]}, job=job)]


class LongPast:
    """Lets a store grow to so many jobs."""

    def __init__(self, database: Database, now_ms: int | None = None):
        self._database, self.jobs, self._seq = database, 0, 0
        self._now_ms = now_ms or time.time_ns() // 1_000_000
        self._random = random.Random(7)
        self.device = self._uuid()
        with database.transaction() as connection:
            self._pairing = shops.add_pairing(connection, "long past", self._now_ms)
            store_entries.add_devices(connection, {self.device: 0})
            store_entries.bind_devices(connection, self._pairing, {self.device})
            known = [row | {"parsed": _table(connection, row["table"])} for row in rings.all_sets(connection)]
        sheet = template(known)
        self._ids, self._job = [entry["id"] for entry in sheet], sheet[0]["job"]
        self._kinds = [entry["kind"] for entry in sheet]
        names = (*_forms(dict.fromkeys((PLATE, VIN, LOT), "")), *self._ids, self._job, _DAY)
        self._raws = [_Form(as_kept(entry), names) for entry in sheet]
        form_of = lambda row: {k: _Form(p, names) if isinstance(p, str) else p for k, p in row.items()}  # noqa: E731
        self._summary = {"signed": form_of(summary_of(sheet)), "open": form_of(summary_of(sheet[:-1]))}
        derived = facts_of(sheet)
        self._left = derived.pop("fitting")
        self._facts = {name: [form_of(row) for row in of_table] for name, of_table in derived.items()}

    def _uuid(self) -> str:
        digits = f"{self._random.getrandbits(128):032x}"
        return f"{digits[:8]}-{digits[8:12]}-4{digits[13:16]}-8{digits[17:20]}-{digits[20:]}"

    @staticmethod
    def plate(number: int) -> str:
        return f"TM{number // JOBS_OF_VEHICLE:06}"

    @staticmethod
    def lot(number: int) -> str:
        return f"LOT-X-{number // JOBS_OF_LOT:06}"

    def grow(self, jobs: int) -> None:
        while self.jobs < jobs:
            number = min(_AT_ONCE, jobs - self.jobs)
            with self._database.transaction() as connection:
                self._seq, last_line = store_entries.take_places(connection, 0, number)
                rows: dict = {}
                for k in range(number):
                    self._add(rows, last_line + k + 1)
                for table in (schema.job, schema.entry, *memory_schema.metadata.sorted_tables):
                    if table.name in rows:
                        connection.execute(insert(table), rows.pop(table.name))
                is_device = schema.device.c.id == self.device
                connection.execute(update(schema.device).where(is_device).values(high_water=self._seq))
                store_entries.give_back(connection, self._seq)
        if self._database.sqlite_file is None:
            with self._database.transaction() as connection:
                connection.exec_driver_sql("ANALYZE")  # as PostgreSQL does by itself within a minute

    def _add(self, rows: dict, line_at: int) -> None:
        number, job, first_seq = self.jobs, self._uuid(), self._seq + 1
        is_open = number < OPEN_JOBS
        changed = self._now_ms - (LARGEST - number) * (SPAN_MS // LARGEST)
        if is_open:
            changed = self._now_ms - (200 * _DAY_MS if number < LEFT_OPEN else number * 1_000)
        vin = f"WTMX{number // JOBS_OF_VEHICLE:013}"
        names = _forms({PLATE: self.plate(number), VIN: vin, LOT: self.lot(number)})
        day = time.strftime("%Y-%m-%d", time.gmtime(changed / 1000))
        ids = {old: self._uuid() for old in self._ids}
        given = names | ids | {self._job: job, _DAY: day}
        raws = self._raws[:-1] if is_open else self._raws
        for kind, raw, old in zip(self._kinds, raws, self._ids, strict=False):
            self._seq += 1
            rows.setdefault("entry", []).append({
                "id": ids[old], "seq": self._seq, "job": job, "device": self.device, "n": self._seq, "kind": kind,
                "photo": None, "pairing": self._pairing, "received_ms": changed, "raw": raw.with_names(given),
                "digest": "0" * 64, "erased_ms": None,
            })  # fmt: skip
        summary = self._summary["open" if is_open else "signed"]
        rows.setdefault("job", []).append(_filled(summary, given) | {
            "id": job, "changed_ms": changed, "first_seq": first_seq, "last_seq": self._seq, "revived_seq": 0,
            "first_day": day, "last_day": day, "began_ms": changed, "facts_version": VERSION, "line_at": line_at,
        })  # fmt: skip
        if not is_open:
            self._add_facts(rows, job, given, number, day)
        self.jobs += 1

    def _add_facts(self, rows: dict, job: str, names: dict, number: int, day: str) -> None:
        for name, of_table in self._facts.items():
            for row in of_table:
                made = _filled(row, names)
                if name == "recheck":
                    made |= {"due_day": day, "done_by": None if number % 100 == 0 else "Ines Tavell"}
                rows.setdefault(name, []).append(made | {"job": job})
        left = self._left
        is_newest = number % JOBS_OF_VEHICLE == JOBS_OF_VEHICLE - 1
        keys = [[what, names[key]] for what, key in left["keys"]]
        for what, key in keys:
            rows.setdefault("vehicle_key", []).append({"job": job, "what": what, "key": key})
        sides = {side: left[side] and json.dumps(left[side]) for side in ("left", "right")}
        rows.setdefault("fitting", []).append({
            "job": job, "at": number + 1, "signed_seq": self._seq, "left_in": json.dumps(left), "newest": is_newest,
            "keys": json.dumps(keys) if is_newest else "[]", **sides, "day": day,
        })  # fmt: skip


def _filled(row: dict, names: dict) -> dict:
    return {key: part.with_names(names) if isinstance(part, _Form) else part for key, part in row.items()}


class _Form:
    """A text with names in it that are to be other ones, taken apart once and put together for each job."""

    def __init__(self, text: str, names: tuple[str, ...]):
        self._parts = re.split(f"({'|'.join(map(re.escape, sorted(names, key=len, reverse=True)))})", text)

    def with_names(self, names: dict[str, str]) -> str:
        return "".join([names.get(part, part) for part in self._parts])


_FORMS = (str, str.casefold, lambda name: _key(name), lambda name: lot_key(name))


def _forms(names: dict[str, str]) -> dict[str, str]:
    """Names also as they are found: letters and digits alone, large or small."""
    return {form(old): form(new) for form in reversed(_FORMS) for old, new in names.items()}


def _key(text: str) -> str:
    return "".join(c for c in text.upper() if c.isalnum())


def _table(connection, name: str) -> dict:
    content = connection.scalar(select(schema.ring_table.c.content).where(schema.ring_table.c.sha256 == name))
    return json.loads(content)
