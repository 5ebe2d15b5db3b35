"""Kills the browser within 50 ms of "saved", 50 times on one profile, and looks for every entry after each kill.

Run as `python -m tests.bench.bench_kill [kills]`. The everyday tests do the same a few times. It proves that "saved" is
said after the write reached the operating system; that it reached the disk is asked for by strict durability, which the
tests of the store assert, because killing a process cannot show it.
"""

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser import launch_options
from tests.pwa.killable_browser import save_and_kill
from tests.pwa.static_server import serving

DEFAULT_KILLS = 50


def main(arguments: list[str]) -> int:
    kills = int(arguments[0]) if arguments else DEFAULT_KILLS
    with serving() as server, sync_playwright() as playwright, tempfile.TemporaryDirectory() as profile:
        executable = launch_options().get("executable_path") or playwright.chromium.executable_path
        save_and_kill(playwright.chromium, executable, Path(profile), server.origin, kills)
    print(f"{kills} kills: every entry that was said to be saved is there")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
