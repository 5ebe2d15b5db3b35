"""Tapermark in WebKitGTK, driven by the engine's own WebDriver, with the same actions as in the other browsers.

What it drives is the desktop's WebKit, not the phone's: storage limits, sensors and installing are not shown by it.
"""

import contextlib
import os
import signal
import subprocess
import time
import urllib.error
import urllib.request
from pathlib import Path

from app_actions import AppActions
from webdriver import WebDriver

from tests.browser import webkit_tools
from tests.live_server import free_port

_START_LIMIT_S = 20
_WINDOW = Path(__file__).with_name("webkit_window.py")
_DRAWN = "return document.getElementById('main').dataset.place === location.hash"


class WebKitPhone(AppActions):
    """One window; `driver` is its WebDriver session. Made by `webkit_phone`."""

    def __init__(self, driver: WebDriver):
        self.driver = driver

    @property
    def url(self) -> str:
        return self.driver.run("return location.href")

    @staticmethod
    def _of(name: str) -> str:
        return f'[data-key="{name}"]'

    @property
    def screen_text(self) -> str:
        return self.driver.text("body")

    def shows(self, name: str) -> bool:
        shown = "return document.querySelector(arguments[0])?.checkVisibility() === true"
        return self.driver.run(shown, self._of(name))

    def wait_for(self, name: str, within: str = "") -> None:
        self.driver.find(f"{self._of(name)} {within}".strip())

    def wait_gone(self, name: str) -> None:
        self.driver.wait("return document.querySelector(arguments[0]) === null", self._of(name))

    def wait_text(self, name: str, text: str, limit_s: float) -> None:
        script = "return document.querySelector(arguments[0])?.innerText.includes(arguments[1])"
        self.driver.wait(script, self._of(name), text, limit_s=limit_s)

    def wait_ready(self) -> None:
        self.driver.wait("return document.querySelector('[data-works=true]') !== null", limit_s=60)

    def tap(self, name: str) -> None:
        self.driver.tap(self._of(name))

    def tap_on(self, name: str) -> None:
        before = self.url
        self.tap(name)
        self.driver.wait("return location.href !== arguments[0]", before)
        self.driver.wait(_DRAWN)

    def open_sheet(self, job: str, key: str) -> None:
        self.driver.run("location.hash = arguments[0]", f"#/job/{job}/sheet/{key}")
        self.driver.wait(_DRAWN)

    def fill(self, name: str, text: str) -> None:
        self.driver.find(self._of(name))
        self.driver.run("document.querySelector(arguments[0]).select()", self._of(name))
        self.driver.type(self._of(name), text)

    def select(self, name: str, value: str) -> None:
        chosen = """const node = document.querySelector(arguments[0]);
            node.value = arguments[1];
            for (const name of ["input", "change"]) node.dispatchEvent(new Event(name, {bubbles: true}));"""
        self.driver.find(self._of(name))
        self.driver.run(chosen, self._of(name), value)

    def photo(self, file: Path | str, source: str = "camera") -> None:
        """Hand a file to the input; a window under a driver opens no chooser of its own."""
        count = "return document.querySelectorAll('.photos img').length"
        before = self.driver.run(count)
        self.tap(source)
        self.driver.wait("return document.querySelector('[data-key=photo-file]') !== null")
        self.driver.give_file(self._of("photo-file"), Path(file))
        self.driver.wait(f"{count} === arguments[0]", before + 1, limit_s=30)


@contextlib.contextmanager
def webkit_driver():
    """Run the engine's driver on a screen of its own; give its address."""
    tools = webkit_tools()
    port = free_port()
    process = subprocess.Popen(
        [tools["xvfb-run"], "-a", tools["driver"], f"--port={port}"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    try:
        end = time.monotonic() + _START_LIMIT_S
        while not _answers(address):
            assert process.poll() is None, "WebKitWebDriver ended at once"
            assert time.monotonic() < end, f"WebKitWebDriver did not answer in {_START_LIMIT_S} s"
            time.sleep(0.05)
        yield address
    finally:
        os.killpg(process.pid, signal.SIGTERM)  # the screen goes with it
        process.wait(_START_LIMIT_S)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(f"{address}/status", timeout=2) as answer:
            return answer.status == 200
    except (urllib.error.URLError, OSError):
        return False


@contextlib.contextmanager
def webkit_phone(address: str, profile: Path):
    """Open a window on a profile; at its end the whole browser ends, and the profile stays."""
    options = {"binary": webkit_tools()["python"], "args": [str(_WINDOW), str(profile), "--automation"]}
    driver = WebDriver(address, {"webkitgtk:browserOptions": options})
    try:
        yield WebKitPhone(driver)
    finally:
        driver.close()
