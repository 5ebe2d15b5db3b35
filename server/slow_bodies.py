"""Lets nobody have so many bodies on the way at once that, should they stall, no thread is left for others.

The server below hands a body on as it comes and waits for as long as its connection lasts. So whoever has several on
the way already is refused before one more is read; a phone sends one after the other. It judges nothing of what a body
says.
"""

import threading
from collections import Counter

from flask import Flask, g, request, session

from server.addresses import place_of
from server.errors import Problem
from server.limits import MOST_BODIES, MOST_BODIES_OF_STRANGERS


class Senders:
    """Counts the bodies that are on the way, by who sends them."""

    def __init__(self):
        self._lock, self._on_the_way = threading.Lock(), Counter()

    def enter(self, limits: dict[str, int]) -> None:
        """Count one body more under each name. Problem: `too-many-bodies`, and none is counted."""
        with self._lock:
            for name, most in limits.items():
                if self._on_the_way[name] >= most:
                    raise Problem("too-many-bodies", most=most)
            self._on_the_way.update(limits.keys())

    def leave(self, limits: dict[str, int]) -> None:
        with self._lock:
            self._on_the_way -= Counter(limits.keys())


class CountedBody:
    """A request's input, counted from its first read to the end of the request: one that nobody reads holds nothing."""

    def __init__(self, stream, senders: Senders, limits: dict[str, int]):
        self._stream, self._senders, self._limits, self._is_counted = stream, senders, limits, False

    def read(self, size: int) -> bytes:
        """Problem: `too-many-bodies`."""
        if not self._is_counted:
            self._senders.enter(self._limits)
            self._is_counted = True
        return self._stream.read(size)

    def close(self) -> None:
        if self._is_counted:
            self._senders.leave(self._limits)


def init_app(app: Flask) -> None:
    senders = Senders()

    @app.before_request
    def count_body():
        g.body = request.environ["wsgi.input"] = CountedBody(request.environ["wsgi.input"], senders, _limits())

    @app.teardown_request
    def end(_error):
        if body := g.pop("body", None):
            body.close()


def _limits() -> dict[str, int]:
    """Return who sends, and how many bodies of theirs may be on the way. The cookie is signed, so it says who."""
    known = session.get("pairing") or session.get("_user_id")
    if known:
        return {known: MOST_BODIES}
    return {place_of(request.remote_addr or ""): MOST_BODIES, "strangers": MOST_BODIES_OF_STRANGERS}
