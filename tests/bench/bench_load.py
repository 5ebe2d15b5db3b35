"""A shop's worst evening, and a shop of many years. Run by hand, about half an hour, in a temporary folder:

    .venv/bin/python -m tests.bench.bench_load [--on postgresql] [--phones 20] [--jobs 40]
        [--only evening taking singly processes photos desk growth]

evening: 20 phones with a week's backlog each (40 jobs, 25 entries a job, 3 photos of 300 kB a job) sync at once against
one server process: all must be stored, without an error, in bounded memory.
taking: entries a second beside raw inserts, and beside parse, judge and digest alone (load_take.py).
singly: what one saved value, and one pull with nothing new, cost the processor.
processes: 1, 2, 4 and 8 of them on one PostgreSQL, and what limits them.
photos: how many a second, what a save waits meanwhile, what a nightly backup copies (load_photos.py).
desk: list, search, history, recall and learning with 1,000, 10,000 and 100,000 jobs (load_desk.py).
growth: one pull on a server with so many jobs, by an older phone and by one that holds some jobs whole.
"""

import argparse
import os
import statistics
import sys
import tempfile
import time
import uuid
from contextlib import ExitStack
from pathlib import Path

from sqlalchemy import insert, update

from server.store import Database, files, schema, shops, store_checks
from server.store import entries as store_entries
from tests.bench.load_desk import desk
from tests.bench.load_photos import photos
from tests.bench.load_take import one_at_a_time, several_processes, taking
from tests.bench.processor import processor_s
from tests.live_server import LiveServer
from tests.postgres import Cluster
from tests.server.live_phones import LiveApp
from tests.server.loading import (
    MOST_GROWTH,
    Backlog,
    PhotoMaker,
    job_row,
    peak_memory,
    raw_inserts_a_second,
    send_all,
)
from tests.server.phones import Phone
from tests.server.whole_phone import WholePhone

PARTS = ("evening", "taking", "singly", "processes", "photos", "desk", "growth")
SIZES = (1_000, 10_000, 100_000)
OPEN_JOBS = 200  # whatever the size: a shop has so many at work, the rest is its past
ENTRIES_A_JOB, PHOTOS_A_JOB, PHONES = 10, 3, 20
REPEATS = 15
YEARS_AGO_MS = 3 * 365 * 24 * 3600 * 1000


class Place:
    """Where stores of one sort are made: `url(name)`, what a server process needs to use it, and what the database has
    had of the processor beside the processes that use it.
    """

    def __init__(self, folder: Path, cluster: Cluster | None):
        self.folder, self._cluster = folder, cluster

    def url(self, name: str) -> str:
        if self._cluster:
            return self._cluster.create(name)
        (self.folder / name).mkdir()
        return f"sqlite:///{self.folder}/{name}/tapermark.db"

    def database_s(self) -> float:
        return processor_s(self._cluster.pid) if self._cluster else 0.0

    def server(self, name: str, url: str) -> LiveServer:
        return LiveServer(self.folder / name, environ={"DATABASE_URL": url if self._cluster else ""})


def worst_evening(place: Place, phones: int, jobs: int) -> bool:
    raw = raw_inserts_a_second(place.url("raw"), 20_000)
    url = place.url("evening")
    database = Database(url)
    with place.server("evening", url) as server, LiveApp(server.url) as app:
        with database.transaction() as connection:
            before = shops.numbers(connection)  # the demo shop's own
        maker, at_rest = PhotoMaker(), peak_memory(server.pid)
        backlogs = [Backlog(app, jobs, maker) for _ in range(phones)]
        size = sum(len(photo) for backlog in backlogs for photo in backlog.photos.values())
        before_s = processor_s(server.pid)
        outcome = send_all(backlogs)
        busy_s = processor_s(server.pid) - before_s
        peak = peak_memory(server.pid)
        with database.transaction() as connection:
            after, missing = shops.numbers(connection), store_checks.photos_not_arrived(connection)
    database.close()
    stored = (after["entries"] - before["entries"], after["photos"] - before["photos"])
    is_whole = stored == (outcome.entries, outcome.photos) and missing == 0 and not outcome.wrong
    speed = outcome.entries / outcome.entries_s
    print(f"phones {phones}, entries {outcome.entries}, photos {outcome.photos} ({size / 1e6:.0f} MB)")
    print(f"stored: {stored[0]} entries, {stored[1]} photos; errors: {len(outcome.wrong)}")
    print(f"entries: {outcome.entries_s:.1f} s, {speed:.0f} a second; slowest request {outcome.slowest_s:.1f} s")
    print(f"processor of the server: {busy_s:.1f} s")
    print(f"raw inserts of this database: {raw:.0f} a second; ratio {speed / raw:.2f}")
    print(f"photos: {outcome.photos_s:.1f} s, {outcome.photos / max(outcome.photos_s, 1e-9):.1f} a second")
    print(
        f"memory of the server: at rest {at_rest / 1e6:.0f} MB, peak {peak / 1e6:.0f} MB;"
        f" at most {MOST_GROWTH / 1e6:.0f} MB more than at rest",
        flush=True,
    )
    print("\n".join(outcome.wrong[:5]))
    return is_whole and peak - at_rest < MOST_GROWTH


class Past:
    """Fills a store with finished jobs of earlier years and a constant number of open ones, by inserting rows."""

    def __init__(self, database: Database):
        self._database, self._jobs, self._seq = database, 0, 0
        self._now_ms = time.time_ns() // 1_000_000
        self.devices = [str(uuid.uuid4()) for _ in range(PHONES)]
        self._counts = dict.fromkeys(self.devices, 0)
        with database.transaction() as connection:
            self._pairing = shops.add_pairing(connection, "past", self._now_ms)
            store_entries.add_devices(connection, dict.fromkeys(self.devices, 0))
            store_entries.bind_devices(connection, self._pairing, set(self.devices))

    def grow(self, jobs: int) -> None:
        while self._jobs < jobs:
            with self._database.transaction() as connection:
                number = min(1_000, jobs - self._jobs)
                self._seq, last_line = store_entries.take_places(connection, 0, number)
                self._add(connection, number, last_line)

    def _add(self, connection, number: int, last_line: int) -> None:
        sheets, lines, pictures = [], [], []
        for k in range(number):
            is_open = self._jobs < OPEN_JOBS
            changed = self._now_ms - (0 if is_open else YEARS_AGO_MS)
            job = job_row(str(uuid.uuid4()), self._seq + 1, changed, "open" if is_open else "signed")
            device = self.devices[self._jobs % PHONES]
            derived = {"line_at": last_line + k + 1, "found_by": "", "last_seq": self._seq + ENTRIES_A_JOB}
            sheets.append(job | derived)
            for step in range(ENTRIES_A_JOB):
                photo = uuid.uuid4().hex * 2 if step < PHOTOS_A_JOB else None
                lines.append(self._line(job["id"], device, photo, changed))
                if photo:
                    pictures.append(self._picture(photo, changed))
            self._jobs += 1
        connection.execute(insert(schema.job), sheets)
        connection.execute(insert(schema.entry), lines)
        connection.execute(insert(schema.photo), pictures)
        for device, count in self._counts.items():
            connection.execute(update(schema.device).where(schema.device.c.id == device).values(high_water=count))
        store_entries.give_back(connection, self._seq)

    def _line(self, job: str, device: str, photo: str | None, ms: int) -> dict:
        self._seq += 1
        self._counts[device] += 1
        own = str(uuid.uuid4())
        raw = f'{{"id": "{own}", "job": "{job}", "filler": "{"x" * 380}"}}'
        return {
            "id": own, "seq": self._seq, "job": job, "device": device, "n": self._counts[device],
            "kind": "photo-attached" if photo else "field-set", "photo": photo, "pairing": self._pairing,
            "received_ms": ms, "raw": raw, "digest": "0" * 64, "erased_ms": None,
        }  # fmt: skip

    def _picture(self, name: str, ms: int) -> dict:
        return {
            "sha256": name, "etag": name, "content": b"-", "width": 1, "height": 1, "pairing": self._pairing,
            "received_ms": ms,
        }  # fmt: skip


def growth(place: Place) -> None:
    url = place.url("past")
    database = Database(url)
    columns = ("nothing new", "one new job", "a new phone's first page", "its whole first pull")
    print(
        f"\n| jobs on the server | {' | '.join(f'{who}: {each}' for who in ('older', 'whole') for each in columns)} |"
    )
    print("|" + "---:|" * 9)
    with place.server("past", url) as server, LiveApp(server.url) as app:
        past = Past(database)
        for jobs in SIZES:
            past.grow(jobs)
            if database.sqlite_file is None:
                with database.transaction() as connection:
                    connection.exec_driver_sql("ANALYZE")  # as PostgreSQL does by itself within a minute
            taken = [*pulls(app, past), *whole_pulls(app)]
            print(f"| {jobs:,} | " + " | ".join(f"{1000 * s:.1f} ms" for s in taken) + " |", flush=True)
    database.close()


def pulls(app: LiveApp, past: Past) -> list[float]:
    """Return the four columns of the table, in seconds; medians, but for the whole pull, which is done once."""
    phone, writer = Phone(app, device=past.devices[0]), Phone(app)
    whole = _timed(phone.sync_all)
    writer.sync_all()
    nothing = statistics.median(_timed(phone.sync) for _ in range(REPEATS))
    one_new = []
    for _ in range(REPEATS):
        writer.sync([writer.entry(str(uuid.uuid4()))])
        one_new.append(_timed(phone.sync))
    first = statistics.median(_timed(Phone(app, device=past.devices[1]).sync) for _ in range(REPEATS))
    return [nothing, statistics.median(one_new), first, whole]


def whole_pulls(app: LiveApp) -> list[float]:
    """Return the same four of a phone that brings what is open, the rest by lines."""
    phone, writer = _whole_phone(app), Phone(app)
    whole = _timed(phone.meet)
    writer.sync_all()
    nothing = statistics.median(_timed(phone.swap) for _ in range(REPEATS))
    one_new = []
    for _ in range(REPEATS):
        writer.sync([writer.entry(str(uuid.uuid4()))])
        one_new.append(_timed(phone.swap))
    first = statistics.median(_timed(_whole_phone(app).swap) for _ in range(REPEATS))
    return [nothing, statistics.median(one_new), first, whole]


def _whole_phone(app: LiveApp) -> WholePhone:
    return WholePhone(app, lambda: time.time_ns() // 1_000_000)


def _timed(act) -> float:
    began = time.monotonic()
    act()
    return time.monotonic() - began


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.bench_load", description=__doc__.splitlines()[0])
    parser.add_argument("--on", choices=["sqlite", "postgresql"], default="sqlite", help="default: %(default)s")
    parser.add_argument("--phones", type=int, default=PHONES, help="default: %(default)s")
    parser.add_argument("--jobs", type=int, default=40, help="jobs on each phone; default: %(default)s")
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS, help="default: all of them")
    chosen = parser.parse_args()
    print(f"load average {os.getloadavg()[0]:.0f}, {os.cpu_count()} cores, {chosen.on}", flush=True)
    is_whole = True
    with ExitStack() as stack:
        cluster = stack.enter_context(Cluster(safe=True)) if chosen.on == "postgresql" else None
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="tapermark-load-")))
        place = Place(folder, cluster)
        if "evening" in chosen.only:
            is_whole = worst_evening(place, chosen.phones, chosen.jobs)
            is_whole = is_whole and (cluster or files.flaws(folder / "evening" / "tapermark.db") == [])
        others = {
            "taking": taking, "singly": one_at_a_time, "processes": several_processes, "photos": photos, "desk": desk,
            "growth": growth,
        }  # fmt: skip
        for name, act in others.items():
            if name in chosen.only and (cluster or name != "processes"):
                act(place)
                print(f"load average {os.getloadavg()[0]:.0f}", flush=True)
    print("all stored, no error, memory bounded" if is_whole else "NOT ALL WAS STORED, OR TOO MUCH MEMORY", flush=True)
    return 0 if is_whole else 1


if __name__ == "__main__":
    sys.exit(main())
