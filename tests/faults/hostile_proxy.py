"""A network that means it ill: a raw proxy between the phone and the shop's server, which spoils what a test chooses.

It knows just enough HTTP to find where a request ends. Every connection carries one request.
"""

import queue
import socket
import struct
import threading
import time
from contextlib import suppress
from dataclasses import dataclass

_LIMIT_S = 30
_PIECE = 65_536
_STRANGERS = {
    "portal": b"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nContent-Length: 26\r\n\r\n<html>Please sign in</html",
    "empty-object": b"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}",
    "no-content": b"HTTP/1.1 204 No Content\r\n\r\n",
    "bad-gateway": b"HTTP/1.1 502 Bad Gateway\r\nContent-Type: text/html\r\nContent-Length: 11\r\n\r\nBad Gateway",
}


@dataclass(frozen=True)
class Spoil:
    """What happens to requests whose path begins with `path`.

    `how`: "portal", "empty-object", "no-content", "bad-gateway" (a stranger answers, the server hears nothing);
    "reply-cut" and "request-cut" (the connection breaks after `share` of the bytes); "slow" (one byte of the reply a
    second); "late" (the server hears at once, the reply comes `after_s` later); "a-century-back" (the reply says
    another time).
    """

    how: str
    path: str = "/api/"
    share: float = 0.0
    after_s: float = 0.0


class HostileProxy:
    """In a with statement. Set `spoil`, or None for a good network; `await_strike` waits until it has met a request."""

    def __init__(self, port: int):
        self.spoil: Spoil | None = None
        self._struck: queue.SimpleQueue[Spoil] = queue.SimpleQueue()
        self._target = ("127.0.0.1", port)
        self._listener = socket.create_server(("127.0.0.1", 0), backlog=64)
        self._open = True
        self.url = f"http://127.0.0.1:{self._listener.getsockname()[1]}"

    def __enter__(self):
        threading.Thread(target=self._listen, daemon=True).start()
        return self

    def __exit__(self, *_):
        self._open = False
        self._listener.close()

    def await_strike(self, spoil: Spoil, limit_s: float) -> None:
        """Return when a request has met that spoil; `queue.Empty` where none did in time."""
        while self._struck.get(timeout=limit_s) != spoil:
            pass

    def _listen(self) -> None:
        with suppress(OSError):  # the listener was closed
            while self._open:
                client, _ = self._listener.accept()
                threading.Thread(target=self._serve, args=(client,), daemon=True).start()

    def _serve(self, client: socket.socket) -> None:
        client.settimeout(_LIMIT_S)
        with client, suppress(OSError):  # either side may leave at any time
            request = _read_request(client)
            spoil = self.spoil
            if spoil is None or not request.split(b" ", 2)[1].startswith(spoil.path.encode()):
                client.sendall(self._ask(request))
                return
            self._struck.put(spoil)
            if spoil.how in _STRANGERS:
                client.sendall(_STRANGERS[spoil.how])
            elif spoil.how == "request-cut":
                self._ask(request[: int(len(request) * spoil.share)], ends=True)
                _reset(client)
            elif spoil.how == "reply-cut":
                reply = self._ask(request)
                client.sendall(reply[: int(len(reply) * spoil.share)])
                _reset(client)
            elif spoil.how == "late":
                reply = self._ask(request)
                time.sleep(spoil.after_s)
                client.sendall(reply)
            elif spoil.how == "a-century-back":
                client.sendall(self._ask(request).replace(b'"time":"20', b'"time":"19'))
            else:
                self._trickle(client, self._ask(request))

    def _ask(self, request: bytes, ends: bool = False) -> bytes:
        """Send a request, or what there is of it, and read until the server closes. `ends`: nothing more will come."""
        with socket.create_connection(self._target, timeout=_LIMIT_S) as server:
            server.sendall(request)
            if ends:
                server.shutdown(socket.SHUT_WR)
            pieces = []
            with suppress(OSError):
                while piece := server.recv(_PIECE):
                    pieces.append(piece)
            return b"".join(pieces)

    def _trickle(self, client: socket.socket, reply: bytes) -> None:
        for k in range(len(reply)):
            client.sendall(reply[k : k + 1])
            time.sleep(1)
            if not self._open:
                return


def _read_request(client: socket.socket) -> bytes:
    """Read one whole request and ask the server to close after it."""
    data = b""
    while b"\r\n\r\n" not in data:
        piece = client.recv(_PIECE)
        if not piece:
            raise ConnectionError("closed")
        data += piece
    head, _, body = data.partition(b"\r\n\r\n")
    lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
    length = next((int(line.split(b":")[1]) for line in lines if line.lower().startswith(b"content-length:")), 0)
    while len(body) < length:
        piece = client.recv(_PIECE)
        if not piece:
            raise ConnectionError("closed")
        body += piece
    return b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body


def _reset(client: socket.socket) -> None:
    """Break the connection as a lost link does, not by a proper end."""
    client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
