"""A phone for histories: a page with the product's store and sync, and the road from it to the shop's server, which can
be bad. It can be killed in the middle of anything and comes back on the same storage.
"""

import contextlib
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler

from playwright.sync_api import Browser
from static_server import FOLDERS, StaticHandler, serving

from tests.live_server import ROOT

MODULE = "/faults/fault-phone.js"
_CALL = "async ([module, name, args]) => (await import(module))[name](...args)"
_KILL_LIMIT_S = 60  # a busy machine is slow, not wrong

# What can happen to one request; anything else would be one of these at another moment.
ROADS = ("fine", "never-arrives", "reply-lost", "twice", "portal", "empty-object", "bad-gateway", "cut-off")
_STRANGERS = {
    "portal": (200, "text/html", b"<!doctype html><title>Guest network</title>Please sign in."),
    "empty-object": (200, "application/json", b"{}"),
    "bad-gateway": (502, "text/html", b"<h1>Bad Gateway</h1>"),
}


class Road:
    """The origin of one phone: the shell's modules, and /api/ by way of `serve`, which answers as Shop.answer does.

    `set_bad` says what happens to the next requests under /api/, in order; then all is fine. A browser whose request
    breaks on a kept connection sends it again by itself: that meets the same fate.
    """

    serve: Callable

    def __init__(self):
        self._bad: list[str] = []
        self._broken: tuple | None = None
        self.reached = threading.Semaphore(0)  # released once per request that the server has handled

    def set_bad(self, roads) -> None:
        self._bad, self._broken = list(roads), None

    def handler(self) -> type[BaseHTTPRequestHandler]:
        road = self

        class Handler(StaticHandler):
            folders = {"/faults/": ROOT / "tests" / "faults"} | FOLDERS

            def do_GET(self):
                if self.path.startswith("/api/"):
                    road.travel(self)
                else:
                    super().do_GET()

            do_POST = do_PUT = do_GET

        return Handler

    def travel(self, request: StaticHandler) -> None:
        body = request.rfile.read(int(request.headers.get("Content-Length", 0)))
        sent = (request.command, request.path, body)
        if sent == self._broken:
            request.close_connection = True
            return
        way = self._bad.pop(0) if self._bad else "fine"
        self._broken = sent if way in ("never-arrives", "reply-lost") else None
        if way in _STRANGERS:
            status, kind, text = _STRANGERS[way]
            request.answer(status, kind, text)
            return
        if way == "never-arrives":
            request.close_connection = True
            return
        answer = self._reach(request, body)
        if way == "twice":
            answer = self._reach(request, body)
        if way == "reply-lost":
            request.close_connection = True
        else:
            _reply(request, *answer, share=0.5 if way == "cut-off" else 1)

    def _reach(self, request, body: bytes) -> tuple[int, list, bytes]:
        answer = self.serve(request.command, request.path, dict(request.headers), body)
        self.reached.release()
        return answer


def _reply(request, status: int, headers: list, body: bytes, share: float) -> None:
    """Send an answer, or the first part of one."""
    request.send_response(status)
    for name, text in headers:
        if name.lower() != "content-length":
            request.send_header(name, text)
    request.send_header("Content-Length", str(len(body)))
    request.end_headers()
    part = body[: int(len(body) * share)]
    request.wfile.write(part)
    request.close_connection = len(part) != len(body)


class PhonePage:
    """One phone, in a with statement."""

    def __init__(self, browser: Browser):
        self.road = Road()
        self._context = browser.new_context()
        self._page = self._context.new_page()
        self._exit = contextlib.ExitStack()
        self._database = None
        self._ms = 0

    def __enter__(self):
        server = self._exit.enter_context(serving(self.road.handler()))
        self._url = f"{server.origin}/faults/phone.html"
        self._page.goto(self._url)
        return self

    def __exit__(self, *_):
        self._context.close()
        self._exit.close()

    def start(self, database: str, ms: int) -> None:
        """Begin as a phone that was never used."""
        self._database, self._ms = database, ms
        self.road.set_bad([])
        self._context.clear_cookies()
        self._open(cleared=True)

    def end(self) -> None:
        """Leave nothing behind for the next history."""
        self.call("forget", self._database)

    def call(self, name: str, *args):
        return self._page.evaluate(_CALL, [MODULE, name, list(args)])

    def set_clock(self, ms: int) -> None:
        self._ms = ms
        self.call("setClock", ms)

    def sync(self, roads=()) -> dict:
        """Sync once over these roads; return what the screen then says."""
        self.road.set_bad(roads)
        state = self.call("syncNow")
        self.road.set_bad([])
        return state

    def lose_lines(self) -> None:
        """Let the browser throw away the database of the lines; the phone finds an empty one."""
        self.call("loseLines", self._database)

    def kill(self) -> None:
        """Take the page away at once, whatever it is doing, and open the phone again."""
        self._page.goto(self._url)
        self.road.set_bad([])
        self._open(cleared=False)

    def kill_while_saving(self, content: dict) -> None:
        self.call("begin", "save", content)
        self.kill()

    def kill_while_syncing(self, requests: int) -> None:
        """Kill the phone once the server has handled so many requests of this sync; the last reply is never read."""
        self.road.set_bad(["fine"] * (requests - 1) + ["reply-lost"])
        self.road.reached = threading.Semaphore(0)
        self.call("begin", "sync")
        for _ in range(requests):
            assert self.road.reached.acquire(timeout=_KILL_LIMIT_S), "the sync asked for less than three things"
        self.kill()

    def clone_to(self, other: "PhonePage") -> None:
        """Make another page a copy of this phone, as somebody's backup of it would: storage and cookies."""
        other.call("adopt", self.call("copy"))
        cookies = self._context.cookies()
        other._context.add_cookies([{**cookie, "domain": "127.0.0.1"} for cookie in cookies])
        other.kill()

    def _open(self, cleared: bool) -> None:
        health = self.call("open", self._database, self._ms, cleared)
        assert health == {"ok": True}, health
