"""A shop with many jobs of the last month and vehicles of the years before, put into its store as rows: what a new
phone then has to pull.

The jobs are copies of one that the demo shop's scenario plays, each with ids of its own; one of five is open, or one of
`open_every`. Of the vehicles there are the rows of their signed jobs and what is fitted, and no entries.
"""

import json
import re
import time
import uuid
from pathlib import Path

from sqlalchemy import insert, update

from server.demo.scenario import Scenario
from server.records.job_facts import VERSION
from server.store import Database, memory_schema, rings, schema, shops
from server.store import entries as store_entries
from server.sync.derive import derive_facts
from tests.live_server import ROOT
from tests.server.loading import job_row

ENTRIES_A_JOB = 150
OPEN_EVERY = 5
SCENARIO = ROOT / "fixtures" / "demo" / "jobs" / "5-two-rounds.json"
_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_DAY_MS = 24 * 3600 * 1000


class PastMonth:
    """Adds jobs to the store of a demo shop that a server has made already."""

    def __init__(self, folder: Path, entries_a_job: int = ENTRIES_A_JOB, open_every: int = OPEN_EVERY):
        self._open_every = open_every
        self._database = Database(f"sqlite:///{folder}/tapermark.db")
        self._now_ms = time.time_ns() // 1_000_000
        self._device, self._n, self.jobs = str(uuid.uuid4()), 0, 0
        with self._database.transaction() as connection:
            ring_sets = {row["id"]: row for row in rings.all_sets(connection)}
            self._pairing = shops.add_pairing(connection, "past month", self._now_ms)
            store_entries.add_devices(connection, {self._device: 0})
        (_, played, _), *_ = Scenario(ring_sets, self._now_ms - _DAY_MS).play(json.loads(SCENARIO.read_text("utf-8")))
        *work, signature = [entry for entry in played if entry["kind"] != "photo-attached"]
        note = next(entry for entry in work if entry["kind"] == "note-written")
        padding = [note | {"id": (own := str(uuid.uuid4())), "slot": own} for _ in range(entries_a_job - len(work))]
        self._open = [*work, *padding][:entries_a_job]
        covered = sorted(entry["id"] for entry in self._open[:-1])
        self._signed = [*self._open[:-1], signature | {"body": {"covers": covered}}]

    def grow(self, jobs: int) -> None:
        """Add jobs until there are so many."""
        while self.jobs < jobs:
            with self._database.transaction() as connection:
                (seq, line), sheets, entries = store_entries.take_places(connection, 0, 0), [], []
                for k in range(1, min(50, jobs - self.jobs) + 1):
                    sheet, rows = self._job(seq + len(entries))
                    sheets.append(sheet | {"line_at": line + k})
                    entries += rows
                connection.execute(insert(schema.job), sheets)
                connection.execute(insert(schema.entry), entries)
                change = update(schema.device).where(schema.device.c.id == self._device)
                connection.execute(change.values(high_water=self._n))
                store_entries.give_back(connection, seq + len(entries), line + len(sheets))

    def add_vehicles(self, count: int) -> None:
        """Add vehicles whose one job was signed in the years before the last, with what is fitted in each."""
        with self._database.transaction() as connection:
            for start in range(0, count, 1000):
                rows = [self._vehicle(n) for n in range(start, min(start + 1000, count))]
                connection.execute(insert(schema.job), [job for job, _ in rows])
                connection.execute(insert(memory_schema.fitting), [fitting for _, fitting in rows])

    def _vehicle(self, n: int) -> tuple[dict, dict]:
        sheet = job_row(str(uuid.uuid4()), 1, self._now_ms - (400 + n % 1000) * _DAY_MS, "signed")
        plate = f"OLD {n}"
        sheet |= {"registration": plate, "found_by": plate.lower(), "facts_version": VERSION}
        keys = [["registration", f"OLD{n}"], ["vin", f"WTM{n:014}"]]
        wheel = {"ring_set": "demo-54", "table": "0" * 64, "pair": [12, 31], "round": 1, "seen": True}
        wheel |= {"bolts": {"new": True, "length_mm": 45, "class": "10.9"}}
        fitting = {
            "job": sheet["id"],
            "at": n + 1,
            "signed_seq": 1,
            "left_in": "{}",
            "newest": True,
            "day": "2025-01-02",
        }
        return sheet, fitting | {"keys": json.dumps(keys), "left": json.dumps(wheel), "right": json.dumps(wheel)}

    def derive(self) -> None:
        """Derive what a living shop has derived long since, before anybody asks for it."""
        derive_facts(self._database)

    def close(self) -> None:
        self._database.close()

    def _job(self, seq: int) -> tuple[dict, list[dict]]:
        """Return the rows of one more job, whose entries follow `seq`."""
        state = "open" if self.jobs % self._open_every == 0 else "signed"
        self.jobs += 1
        registration, fresh = f"SCALE {self.jobs}", {}
        text = json.dumps(self._open if state == "open" else self._signed)
        copied = json.loads(_ID.sub(lambda found: fresh.setdefault(found[0], str(uuid.uuid4())), text))
        rows = [self._row(entry, seq + k, registration) for k, entry in enumerate(copied, 1)]
        sheet = job_row(copied[0]["job"], seq + 1, self._now_ms - _DAY_MS, state)
        line = {"registration": registration, "found_by": registration.lower(), "last_seq": seq + len(rows)}
        return sheet | line, rows

    def _row(self, entry: dict, seq: int, registration: str) -> dict:
        self._n += 1
        entry |= {"device": self._device, "n": self._n}
        if entry["slot"] == "vehicle.registration":
            entry["body"] = {"value": registration}
        return {
            "id": entry["id"], "seq": seq, "job": entry["job"], "device": self._device, "n": self._n,
            "kind": entry["kind"], "photo": None, "pairing": self._pairing, "received_ms": self._now_ms - _DAY_MS,
            "raw": json.dumps(entry), "digest": "0" * 64, "erased_ms": None,
        }  # fmt: skip
