"""A client for the W3C WebDriver protocol, as much of it as the WebKit test needs: find, tap, type, ask the page.

Names and paths of the commands: W3C, "WebDriver", section "Endpoints". Every wait has a limit.
"""

import json
import time
import urllib.error
import urllib.request
from pathlib import Path

_ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # the key that the standard gives an element's reference
LIMIT_S = 60  # a busy machine is slow, not wrong
_DRAWN_ANEW = ("stale element reference", "element not interactable")


class DriverError(Exception):
    """What the driver refused; the text is its own."""


class WebDriver:
    """One session with the driver at `address`."""

    def __init__(self, address: str, capabilities: dict):
        self._base = address
        answer = self._send("POST", "/session", {"capabilities": {"alwaysMatch": capabilities}})
        self._base = f"{address}/session/{answer['sessionId']}"

    def _send(self, method: str, path: str, body: dict | None = None):
        data = None if body is None else json.dumps(body).encode()
        asked = urllib.request.Request(self._base + path, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(asked, timeout=60) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            refused = json.load(error)["value"]
            raise DriverError(f"{refused['error']}: {refused['message']}") from None

    def goto(self, url: str) -> None:
        self._send("POST", "/url", {"url": url})

    def close(self) -> None:
        """End the session and with it the browser."""
        self._send("DELETE", "")

    def run(self, script: str, *arguments):
        """Return what the body of a function gives in the page."""
        return self._send("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def wait(self, script: str, *arguments, limit_s: float = LIMIT_S):
        """Wait until the script gives something true; return it."""
        end = time.monotonic() + limit_s
        while not (found := self.run(script, *arguments)):
            if time.monotonic() > end:
                raise DriverError(f"still not so after {limit_s} s: {script} {arguments}\n{self.text('body')}")
            time.sleep(0.05)
        return found

    def find(self, selector: str) -> str:
        """Wait until the first element of a CSS selector stays, can be seen and is not disabled; return its reference.

        It stays if two looks find the same: a screen that is still being drawn anew would take the tap away.
        """
        usable = """const node = document.querySelector(arguments[0]);
            const stays = globalThis.foundBefore === node;
            globalThis.foundBefore = node;
            return stays && node !== null && node.getClientRects().length > 0 && !node.disabled;"""
        self.wait(usable, selector)
        return self._send("POST", "/element", {"using": "css selector", "value": selector})[_ELEMENT]

    def tap(self, selector: str) -> None:
        self._do(selector, "click", {})

    def type(self, selector: str, text: str) -> None:
        """Type into a field, after what it holds."""
        self._do(selector, "value", {"text": text})

    def _do(self, selector: str, command: str, body: dict) -> None:
        """Work an element; once more where the page drew it anew between finding and doing: then nothing was done."""
        for is_last in (False, False, True):
            try:
                self._send("POST", f"/element/{self.find(selector)}/{command}", body)
                return
            except DriverError as error:
                if is_last or not str(error).startswith(_DRAWN_ANEW):
                    raise

    def give_file(self, selector: str, path: Path) -> None:
        """Choose a file in an input that may be hidden."""
        found = self._send("POST", "/element", {"using": "css selector", "value": selector})[_ELEMENT]
        self._send("POST", f"/element/{found}/value", {"text": str(path)})

    def text(self, selector: str) -> str:
        return self.run("return document.querySelector(arguments[0])?.innerText ?? ''", selector)
