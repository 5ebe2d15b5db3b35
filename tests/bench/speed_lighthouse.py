"""Lighthouse on the phone's page and on the desk, as on a phone: the median of several runs. Part of bench_speed.

Lighthouse comes by npx from the package registry at its first use; it is no part of the project and of no other test.
"""

import json
import os
import statistics
import subprocess
import tempfile
from pathlib import Path

from playwright.sync_api import Playwright

from tests.browser import launch_options
from tests.live_server import LiveServer

PACKAGE = "lighthouse@12.2.3"
CATEGORIES = ("performance", "accessibility", "best-practices")
_LIMIT_S = 180


def scores(playwright: Playwright, runs: int) -> dict[str, dict[str, float]]:
    """Return page -> category -> median score of 0 to 100. Raises RuntimeError with what Lighthouse said."""
    chrome = launch_options().get("executable_path") or playwright.chromium.executable_path
    with tempfile.TemporaryDirectory() as folder, LiveServer(Path(folder) / "store") as server:
        pages = {"phone": f"{server.url}/", "desk": f"{server.url}/desk/"}
        return {page: _medians([_run(url, chrome, Path(folder)) for _ in range(runs)]) for page, url in pages.items()}


def _medians(found: list[dict]) -> dict[str, float]:
    return {category: statistics.median(each[category] for each in found) for category in CATEGORIES}


def _run(url: str, chrome: str, folder: Path) -> dict[str, float]:
    report = folder / "report.json"
    command = [
        "npx", "--yes", PACKAGE, url, "--output=json", f"--output-path={report}", "--quiet",
        f"--only-categories={','.join(CATEGORIES)}", "--chrome-flags=--headless=new --no-sandbox",
    ]  # fmt: skip
    environ = os.environ | {"CHROME_PATH": chrome}
    done = subprocess.run(command, env=environ, capture_output=True, text=True, timeout=_LIMIT_S, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"Lighthouse ended with {done.returncode}:\n{done.stderr[-2000:]}")
    found = json.loads(report.read_text("utf-8"))["categories"]
    return {category: round(found[category]["score"] * 100) for category in CATEGORIES}
