"""The listener in this process, on a port of its own, before an application of the test's."""

import asyncio
import socket
import threading
from contextlib import contextmanager

from server.listen.accept import Acceptor
from server.listen.connection import Talk
from server.listen.read_bodies import Bodies, Sender
from server.listen.wsgi_calls import Calls
from tests.at_once import begun, ended

LIMIT_S = 20


class Listening:
    """`asked`: (path, body, reason why it was not read) of each request that reached the application."""

    def __init__(self, most: int, who=None, shares: bool = True):
        self.asked, self._most, self._shares = [], most, shares
        self._who = who or (lambda environ: Sender(None, environ["REMOTE_ADDR"]))
        self.answer = lambda _environ: b"whole"

    def application(self, environ, start):
        body = environ["wsgi.input"].read()
        self.asked.append((environ["PATH_INFO"], body, environ.get("tapermark.unread")))
        start("200 OK", [("Content-Type", "text/plain")])
        return [self.answer(environ)]

    async def _serve(self, ready):
        async def who(environ):
            return self._who(environ)

        calls = Calls(self.application, "http")
        acceptor = Acceptor(
            self.socket, None, Talk(calls, Bodies(who, lambda _path: 1_000_000)), self._most, self._shares
        )
        self._loop, self._end = asyncio.get_running_loop(), asyncio.Event()
        standing_open = asyncio.create_task(acceptor.stand_open())
        ready.set()
        await self._end.wait()
        standing_open.cancel()
        await acceptor.close(1)

    def connect(self, source="127.0.0.1") -> socket.socket:
        return socket.create_connection(self.socket.getsockname(), LIMIT_S, (source, 0))

    def end(self):
        self._loop.call_soon_threadsafe(self._end.set)


@contextmanager
def listening(most: int = 100, application=None, **how):
    """`application`: another than that of the test's own."""
    served, ready = Listening(most, **how), threading.Event()
    served.application = application or served.application
    served.socket = socket.create_server(("127.0.0.1", 0), backlog=200)
    serving = begun(lambda: asyncio.run(served._serve(ready)))
    assert ready.wait(LIMIT_S), f"expected the listener to begin within {LIMIT_S} s"
    try:
        yield served
    finally:
        served.end()
        ended(serving, limit_s=LIMIT_S)


def said_by(client: socket.socket) -> bytes:
    """All that comes until the other end closes."""
    said = b""
    try:
        while chunk := client.recv(65_536):
            said += chunk
    except TimeoutError as error:
        raise TimeoutError(f"expected more or the end within {client.gettimeout()} s after {said[-200:]}") from error
    return said


def request(path="/x", body: bytes | None = b"", *lines: str, length: int | None = None, method="POST") -> bytes:
    if body is not None:
        lines = (f"Content-Length: {len(body) if length is None else length}", *lines)
    head = "\r\n".join([f"{method} {path} HTTP/1.1", "Host: x", *lines])
    return head.encode() + b"\r\n\r\n" + (body or b"")
