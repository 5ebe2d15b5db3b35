"""The browser's process is killed within 50 ms after "saved", 50 times: nothing that was shown as saved is lost.

A killed process does not test what reached the disk, only a power cut would: durability.py asserts the rest.
"""

import json
import os
import random
import signal
import subprocess
import threading
import time
from pathlib import Path

import pytest
from static_server import FOLDERS, StaticHandler, serving

from tests.live_server import ROOT

KILLS = 50
MOST_ROUNDS = 90  # on a busy machine a kill may come too late to count
WITHIN_S = 0.05
ROUND_LIMIT_S = 30
FLAGS = (
    "--headless", "--no-sandbox", "--no-first-run", "--disable-gpu", "--disable-dev-shm-usage", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--disable-extensions",
)  # fmt: skip


class Told:
    """What the page has told: `stored` at its start, then each entry that it showed as saved."""

    def __init__(self):
        self.stored: dict | None = None
        self.saved: list[dict] = []
        self.last_at = 0.0
        self.news = threading.Condition()

    def handler(self):
        told = self

        class Handler(StaticHandler):
            folders = {"/faults/": ROOT / "tests" / "faults"} | FOLDERS

            def do_POST(self):
                what = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                with told.news:
                    if self.path == "/stored":
                        told.stored = what
                    else:
                        told.saved.append(what)
                        told.last_at = time.monotonic()
                    told.news.notify()
                self.answer(200, "application/json", b"{}")

        return Handler

    def wait_for(self, holds) -> None:
        with self.news:
            assert self.news.wait_for(holds, timeout=ROUND_LIMIT_S), "the page has told nothing"


@pytest.fixture
def program(chromium, launch_options) -> Path:
    return Path(launch_options.get("executable_path") or chromium.executable_path)


def run_and_kill(program: Path, profile: Path, url: str, told: Told, saves: int, after_s: float) -> float:
    """Start the browser, kill it so long after its `saves`-th save; return how long that was after the last one."""
    with told.news:
        told.stored, before = None, len(told.saved)
    browser = subprocess.Popen(
        [program, *FLAGS, f"--user-data-dir={profile}", url],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,  # its own group: all of the browser's processes, and no others
    )
    try:
        told.wait_for(lambda: len(told.saved) >= before + saves)
        time.sleep(after_s)
    finally:
        os.killpg(browser.pid, signal.SIGKILL)
        killed_at = time.monotonic()
        browser.wait(ROUND_LIMIT_S)
    return killed_at - told.last_at


def test_nothing_shown_as_saved_is_lost_when_the_browser_is_killed(program, tmp_path):
    told, chance, timely = Told(), random.Random(20261125), 0
    with serving(told.handler()) as server:
        for _ in range(MOST_ROUNDS):
            shown = list(told.saved)
            waited = run_and_kill(
                program, tmp_path / "profile", f"{server.origin}/faults/kill.html", told,
                saves=chance.randint(1, 4), after_s=chance.uniform(0, 0.9 * WITHIN_S),
            )  # fmt: skip
            check_stored(told.stored, shown)
            timely += waited <= WITHIN_S
            if timely > KILLS:  # the last one is not looked at any more
                return
    pytest.fail(f"only {timely} kills came within {WITHIN_S} s")


def check_stored(found: dict, shown: list[dict]) -> None:
    """What the page found at its start holds all that was shown before, waits to be sent, and has no gap or repeat."""
    assert (found["health"], found["lost"]) == ({"ok": True}, None)
    by_id = {entry["id"]: entry for entry in found["entries"]}
    assert [entry for entry in shown if by_id.get(entry["id"]) != entry] == []
    assert sorted(entry["n"] for entry in by_id.values()) == list(range(1, len(by_id) + 1))
    assert found["unsent"] == len(by_id)
