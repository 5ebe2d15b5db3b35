"""Finds the browsers that the tests drive, or brings them; run as a program by tests/run.

Every browser test runs in Chromium, which has to be there: those of screens in its headless shell, those of a browser
that starts, dies, keeps or refuses something in the whole of it. The main job also runs in Firefox and WebKitGTK, where
Debian's packages of them are installed or may be installed. Nothing else in the project knows where a browser lives.
"""

import shutil
import subprocess
import sys
from pathlib import Path

from tests.debian import bring

_DOWNLOAD_S, _LOOK_S = 900, 60
_CERTIFICATES = "libnss3-tools"  # certutil: gives Chromium an authority to trust
_PACKAGES = ("firefox-esr", "webkit2gtk-driver", "xvfb", "xauth", "python3-gi", "gir1.2-webkit2-4.1")
_SYSTEM_PYTHON = "/usr/bin/python3"  # the environment's own does not see the system's gi
_SHELL = "chromium-headless-shell"
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


def shell_options() -> dict:
    """Return the same for the shell, where it is there: the same engine without windows, at some half of the cost."""
    path = shutil.which(_SHELL)
    return {"executable_path": path} if path else launch_options()


def bring_shell() -> None:
    """Install it where this process may."""
    if not shutil.which(_SHELL):
        bring(_SHELL)


def bring_browser() -> bool:
    """Install a browser if there is none: Debian's where this process may, else the one Playwright downloads."""
    if _installed_browser() or _playwright_browser():
        return True
    bring("chromium", "fonts-dejavu-core")
    if not _installed_browser():
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False, timeout=_DOWNLOAD_S)
    return bool(_installed_browser() or _playwright_browser())


def firefox_options() -> dict | None:
    """Return the arguments for Playwright's `firefox.launch`, or None where there is no Firefox that it can drive.

    The channel speaks WebDriver BiDi with Debian's build; Playwright documents it nowhere and from 1.65 on asks this
    build for a command that it lacks, hence the bound in pyproject.toml.
    """
    path = shutil.which("firefox-esr")
    return {"executable_path": path, "channel": "moz-firefox"} if path else None


def webkit_tools() -> dict | None:
    """Return the programs that WebKitGTK is driven with, name -> path, or None where one of them is missing."""
    names = {"driver": "WebKitWebDriver", "xvfb-run": "xvfb-run", "xauth": "xauth", "python": _SYSTEM_PYTHON}
    tools = {name: shutil.which(program) for name, program in names.items()}
    if not all(tools.values()):
        return None
    needs = "import gi; gi.require_version('WebKit2', '4.1')"
    found = subprocess.run([tools["python"], "-c", needs], capture_output=True, check=False, timeout=_LOOK_S)
    return tools if found.returncode == 0 else None


def certutil() -> str:
    """Return the program that installs an authority for Chromium; raises RuntimeError where it is missing."""
    path = shutil.which("certutil")
    if path is None:
        raise RuntimeError(f"No certutil found. Run `sh tests/run` as root, or install Debian's `{_CERTIFICATES}`.")
    return path


def bring_certutil() -> None:
    """Install it where this process may."""
    if not shutil.which("certutil"):
        bring(_CERTIFICATES)


def bring_engines() -> None:
    """Install the other engines where this process may; their tests say so where they are missing."""
    if not (firefox_options() and webkit_tools()):
        bring(*_PACKAGES)


if __name__ == "__main__":
    if not bring_browser():
        sys.exit(
            "tests: no Chromium and none could be installed. Install Debian's package `chromium` (as root), "
            "or run `python -m playwright install chromium`, then run this again."
        )
    bring_shell()
    bring_certutil()
    bring_engines()
