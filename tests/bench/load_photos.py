"""Photos: how many a second, what an entry's save waits meanwhile, what a nightly backup copies of them.

A part of tests/bench/bench_load.py. A save is one entry of a phone of its own, every twentieth of a second.
"""

import os
import statistics
import time
import uuid
from contextlib import ExitStack

from server.commands.backup import make_backup
from server.photos.pictures import re_encode
from server.store import Database
from tests.at_once import LIMIT_S, all_ended, meanwhile
from tests.bench.processor import processor_s
from tests.server.live_phones import LiveApp
from tests.server.loading import Backlog, PhotoMaker, send_all
from tests.server.phones import Phone

PHONES, JOBS, NIGHTLY = 20, 6, 30  # three photos a job
_SAVE_EVERY_S, _QUIET_S = 0.05, 5
_PICTURES = 40


def photos(place) -> None:
    maker, url = PhotoMaker(), place.url("photos")
    with ExitStack() as stack:
        server = stack.enter_context(place.server("photos", url))
        app = stack.enter_context(LiveApp(server.url))
        quiet = _Saver(app)
        with meanwhile(quiet.save, _SAVE_EVERY_S):
            time.sleep(_QUIET_S)
        backlogs = [Backlog(app, JOBS, maker) for _ in range(PHONES)]
        send_all(backlogs, with_photos=False)
        before, beside = processor_s(server.pid), _Saver(app)
        with meanwhile(beside.save, _SAVE_EVERY_S):
            began = time.monotonic()
            wrong = all_ended(Backlog.send_photos, backlogs, LIMIT_S)
            took = time.monotonic() - began
        busy = processor_s(server.pid) - before
        _nights(place, url, app, maker)
    assert not any(wrong), wrong
    count = sum(len(backlog.photos) for backlog in backlogs)
    alone = _decoding_s(maker)
    print(f"\nphotos: {count} in {took:.1f} s, {count / took:.1f} a second")
    print(
        f"processor of the server: {1000 * busy / count:.0f} ms a photo with its saves; decoding and encoding"
        f" one alone {1000 * alone:.0f} ms: two cores can do {2 / alone:.0f} a second and nothing else"
    )
    for name, saver in (("nothing else", quiet), ("photos", beside)):
        slow = statistics.quantiles(saver.times, n=20)[-1]
        print(
            f"a save beside {name}: median {1000 * statistics.median(saver.times):.0f} ms, 19 of 20 within"
            f" {1000 * slow:.0f} ms, {len(saver.times)} saves",
            flush=True,
        )


class _Saver:
    """A phone that saves one entry after the other; `times`: of each, from asking to the answer, in seconds."""

    def __init__(self, app: LiveApp):
        self.times, self._phone, self._job = [], Phone(app), str(uuid.uuid4())
        self._token = self._phone.token()
        self._phone.token = lambda: self._token
        self._phone.sync_all()

    def save(self) -> None:
        entry, began = self._phone.entry(self._job), time.monotonic()
        self._phone.sync([entry])
        self.times.append(time.monotonic() - began)


def _decoding_s(maker: PhotoMaker) -> float:
    """Return the processor's seconds of one picture, of the process that decodes it and of handing it over."""
    re_encode(maker.make())  # starts it
    before = processor_s(os.getpid())
    for _ in range(_PICTURES):
        re_encode(maker.make())
    return (processor_s(os.getpid()) - before) / _PICTURES


def _nights(place, url: str, app: LiveApp, maker: PhotoMaker) -> None:
    """Make three backups, before the third of them one day's photos more."""
    database = Database(url)
    print("\n| backup | entries | photos | file | photos copied | time |\n|---|---:|---:|---:|---:|---:|")
    for night in ("first", "second, nothing new", f"third, {NIGHTLY} new photos"):
        if night.startswith("third"):
            send_all([Backlog(app, NIGHTLY // 3, maker)])
        began, target = time.monotonic(), place.folder / "backups" / f"{uuid.uuid4().hex}.backup"
        made = make_backup(database, target, time.time_ns() // 1_000_000, _quiet)
        print(
            f"| {night} | {made.entries:,} | {made.photos} | {made.size / 1e6:.1f} MB |"
            f" {made.brought} ({made.brought_bytes / 1e6:.1f} MB) | {time.monotonic() - began:.1f} s |",
            flush=True,
        )
    database.close()


def _quiet(_done: int, _total: int) -> None:
    pass
