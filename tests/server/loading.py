"""Many phones with a week's backlog each, sent at once over HTTP, and what it is measured against.

Used by test_load.py with a tenth of the load, and by tests/bench/bench_load.py with all of it.
"""

import itertools
import os
import time
import uuid
from dataclasses import dataclass
from pathlib import Path

from PIL import Image
from sqlalchemy import insert

from server.photos.keep_photo import name_of
from server.store import Database, entries, schema, shops
from tests.at_once import LIMIT_S, all_ended
from tests.server.live_phones import LiveApp
from tests.server.phones import START_MS, Phone
from tests.server.pictures_to_send import encoded

ENTRIES_A_JOB, PHOTOS_A_JOB = 25, 3
BATCH = 500  # as phones send them
PHOTO_BYTES = 300_000
_STEPS_CHANGED = 8  # in four ways each: 65,536 pictures
MOST_GROWTH = 250_000_000  # bytes of memory beyond the server at rest; two pictures are worked on at a time


@dataclass
class Outcome:
    """What the phones saw. `entries_s` and `photos_s`: how long all of either took, first request to last answer."""

    entries: int
    photos: int
    entries_s: float
    photos_s: float
    slowest_s: float  # one request of entries
    wrong: list[str]


class PhotoMaker:
    """Different JPEGs of about 300 kB as a phone makes them, at little cost: one picture, in each of which some steps
    of quantisation are other ones, so that what the server makes of it is different too.
    """

    def __init__(self):
        noise = Image.frombytes("RGB", (200, 150), os.urandom(200 * 150 * 3)).resize((1600, 1200), Image.BICUBIC)
        quality = next(q for q in range(60, 100) if len(encoded(noise, quality=q)) >= PHOTO_BYTES)
        self._jpeg, self._made = encoded(noise, quality=quality), itertools.count()

    def make(self) -> bytes:
        jpeg, number = bytearray(self._jpeg), next(self._made)
        table = jpeg.index(b"\xff\xdb") + 5  # the first steps of the first table, ITU-T T.81, B.2.4.1
        for step in range(_STEPS_CHANGED):
            jpeg[table + 1 + step] += number % 4
            number //= 4
        return bytes(jpeg)


class NoPhotos:
    """Makes bytes that are no picture and are never sent: for phones that send entries alone."""

    def make(self) -> bytes:
        return uuid.uuid4().bytes


class Backlog:
    """One phone and what waits on it: jobs of 25 entries, three of them with a photo."""

    def __init__(self, app: LiveApp, jobs: int, maker: PhotoMaker):
        self.phone, self.photos = Phone(app), {}
        self.entries = [entry for _ in range(jobs) for entry in self._job(maker)]
        self._token = None

    def _job(self, maker: PhotoMaker) -> list[dict]:
        job, phone = str(uuid.uuid4()), self.phone
        sheet = [phone.entry(job, "job-opened", {"checklist": 1})]
        for number in range(ENTRIES_A_JOB - PHOTOS_A_JOB - 1):
            value = {"value": f"answer {number}, as long as such answers usually are"}
            sheet.append(phone.entry(job, "field-set", value, f"step.{number}"))
        for _ in range(PHOTOS_A_JOB):
            photo = maker.make()
            name = name_of(photo)
            self.photos[name] = photo
            body = {"sha256": name, "mime": "image/jpeg", "bytes": len(photo), "about": "fit.witness-line"}
            sheet.append(phone.entry(job, "photo-attached", body))
        return sheet

    def send_entries(self) -> tuple[list[str], float]:
        """Send all; return (what went wrong, the slowest request in seconds)."""
        wrong, slowest = [], 0.0
        self._token = self.phone.token()
        for start in range(0, len(self.entries), BATCH):
            batch = self.entries[start : start + BATCH]
            body = {"device": self.phone.device, "since": self.phone.cursor, "entries": batch}
            began = time.monotonic()
            answer = self.phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": self._token})
            slowest = max(slowest, time.monotonic() - began)
            if answer.status_code != 200:
                wrong.append(f"entries: {answer.status_code} {answer.text[:200]}")
                continue
            self.phone.cursor = answer.json["next"]
            wrong += [f"entry: {result}" for result in answer.json["results"] if result["verdict"] != "accepted"]
        return wrong, slowest

    def send_photos(self) -> list[str]:
        wrong = []
        for name, photo in self.photos.items():
            answer = self.phone.client.put(f"/api/photos/{name}", data=photo, headers={"X-CSRFToken": self._token})
            if answer.status_code != 201:
                wrong.append(f"photo: {answer.status_code} {answer.text[:200]}")
        return wrong


def send_all(backlogs: list[Backlog], with_photos: bool = True, limit_s: float = LIMIT_S) -> Outcome:
    """Let every phone send its entries at the same time, then its photos; `limit_s` for either."""
    began = time.monotonic()
    sent = all_ended(Backlog.send_entries, backlogs, limit_s)
    between = time.monotonic()
    wrong = [line for lines, _ in sent for line in lines]
    if with_photos:
        wrong += [line for lines in all_ended(Backlog.send_photos, backlogs, limit_s) for line in lines]
    ended = time.monotonic()
    return Outcome(
        entries=sum(len(backlog.entries) for backlog in backlogs),
        photos=sum(len(backlog.photos) for backlog in backlogs) if with_photos else 0,
        entries_s=between - began, photos_s=ended - between, slowest_s=max(slowest for _, slowest in sent), wrong=wrong,
    )  # fmt: skip


def peak_memory(pid: int) -> int:
    """Return the largest resident memory, in bytes, that the process and its children have had so far (Linux)."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    own = next(line for line in Path(f"/proc/{pid}/status").read_text().splitlines() if line.startswith("VmHWM"))
    return int(own.split()[1]) * 1024 + sum(peak_memory(int(child)) for child in children)


def raw_inserts_a_second(url: str, number: int) -> float:
    """Return how many entries a second the database itself takes: one writer, batches as phones send them."""
    database = Database(url)
    try:
        database.migrate()
        with database.transaction() as connection:
            shops.add_shop(connection, "raw", demo=False)
            pairing = shops.add_pairing(connection, "raw", START_MS)
            device = str(uuid.uuid4())
            entries.add_devices(connection, {device: 0})
            entries.bind_devices(connection, pairing, {device})
        rows = [raw_row(seq, device, pairing) for seq in range(1, number + 1)]
        began = time.monotonic()
        for start in range(0, number, BATCH):
            batch = rows[start : start + BATCH]
            with database.transaction() as connection:
                jobs = sorted({row["job"] for row in batch})
                connection.execute(insert(schema.job), [job_row(job, batch[0]["seq"], START_MS) for job in jobs])
                connection.execute(insert(schema.entry), batch)
        return number / (time.monotonic() - began)
    finally:
        database.close()


def job_row(job: str, seq: int, changed_ms: int, state: str = "open") -> dict:
    return {
        "id": job, "state": state, "registration": "", "registration_keys": "", "vehicle": "", "conflicts": 0,
        "changed_ms": changed_ms, "first_seq": seq, "last_seq": seq, "revived_seq": 0,
    }  # fmt: skip


def raw_row(seq: int, device: str, pairing: str) -> dict:
    job = str(uuid.UUID(int=(seq - 1) // ENTRIES_A_JOB, version=4))
    return {
        "id": str(uuid.uuid4()), "seq": seq, "job": job, "device": device, "n": seq, "kind": "field-set", "photo": None,
        "pairing": pairing, "received_ms": START_MS, "raw": "x" * 500, "digest": "0" * 64, "erased_ms": None,
    }  # fmt: skip
