"""Finds the browser that the tests drive, or brings one; run as a program by tests/run.

The tests ask `launch_options()`. Nothing else in the project knows where a browser lives.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

_NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")


def _installed_browser() -> str | None:
    return next(filter(None, map(shutil.which, _NAMES)), None)


def _playwright_browser() -> str | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        path = playwright.chromium.executable_path
    return path if Path(path).exists() else None


def launch_options() -> dict:
    """Return the arguments for Playwright's `chromium.launch`; raises RuntimeError where there is no browser."""
    path = _installed_browser()
    if path:
        return {"executable_path": path}
    if _playwright_browser():
        return {}
    raise RuntimeError("No Chromium found. Run `sh tests/run`, which brings one, or install it by hand.")


def bring_browser() -> bool:
    """Install a browser if there is none: Debian's where this process may, else the one Playwright downloads."""
    if _installed_browser() or _playwright_browser():
        return True
    if shutil.which("apt-get") and os.geteuid() == 0:
        subprocess.run(["apt-get", "update", "-q"], check=False)
        subprocess.run(["apt-get", "install", "-y", "-q", "chromium", "fonts-dejavu-core"], check=False)
    if not _installed_browser():
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    return bool(_installed_browser() or _playwright_browser())


if __name__ == "__main__" and not bring_browser():
    sys.exit(
        "tests: no Chromium and none could be installed. Install Debian's package `chromium` (as root), "
        "or run `python -m playwright install chromium`, then run this again."
    )
