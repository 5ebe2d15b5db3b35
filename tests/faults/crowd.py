"""What strangers do to a listening server: connections that say nothing, bodies that stop half-way."""

import json
import socket
import ssl
import time
import urllib.request
from contextlib import ExitStack, suppress
from pathlib import Path

from tests.live_server import LiveServer

FILES = 1_024  # the usual limit of a process
BARE = 1_100
LIMIT_S = 20


def address(number: int) -> str:
    """One of this machine's own addresses; every one of 127.0.0.0/8 is, on Linux."""
    return f"127.0.{1 + number // 250}.{1 + number % 250}"


def connect(server: LiveServer, source: str = "127.0.0.1", limit_s: float = LIMIT_S) -> socket.socket:
    return socket.create_connection(("127.0.0.1", server.port), timeout=limit_s, source_address=(source, 0))


def trust(server: LiveServer) -> ssl.SSLContext:
    return ssl.create_default_context(cafile=server.store_folder / "certificate" / "authority.crt")


def bare(server: LiveServer, stack: ExitStack, number: int, sources=("127.0.0.1",)) -> list[socket.socket]:
    """Connect so often and say nothing; whoever is not let in any more is left out."""
    made = []
    for k in range(number):
        with suppress(OSError):
            made.append(stack.enter_context(connect(server, sources[k % len(sources)], 2)))
    return made


def stalled(server, stack: ExitStack, path: str, headers: dict, length: int, source="127.0.0.1") -> socket.socket:
    """Begin to send a body of that length, and stop after its first byte."""
    client = connect(server, source)
    if server.url.startswith("https"):
        client = trust(server).wrap_socket(client, server_hostname="127.0.0.1")
    stack.enter_context(client)
    lines = {"Host": f"127.0.0.1:{server.port}", "Content-Length": str(length)} | headers
    head = "".join(f"{name}: {text}\r\n" for name, text in lines.items())
    client.sendall(f"POST {path} HTTP/1.1\r\n{head}\r\n{{".encode())
    return client


def answer_s(server: LiveServer, path: str = "/sw.js", limit_s: float = LIMIT_S) -> float | None:
    """Return how long a new connection waits for an answer, or None where it gets none in that time."""
    begun = time.monotonic()
    with (
        suppress(OSError),
        urllib.request.urlopen(
            f"{server.url}{path}", timeout=limit_s, context=trust(server) if server.url.startswith("https") else None
        ) as answer,
    ):
        answer.read()
        return time.monotonic() - begun
    return None


def seconds_until_answered(server: LiveServer, limit_s: float) -> float | None:
    """Ask again and again; return when somebody was answered, or None."""
    begun = time.monotonic()
    while time.monotonic() - begun < limit_s:
        if answer_s(server, limit_s=2) is not None:
            return time.monotonic() - begun
        time.sleep(0.2)
    return None


def new_connections_a_second(server: LiveServer, seconds: float = 3) -> float:
    context, number, begun = trust(server), 0, time.monotonic()
    while (spent := time.monotonic() - begun) < seconds:
        with context.wrap_socket(connect(server), server_hostname="127.0.0.1"):
            number += 1
    return number / spent


def open_files(pid: int) -> int:
    """How many files a process and its children have open (Linux)."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return max(len(list(Path(f"/proc/{each}/fd").iterdir())) for each in [pid, *map(int, children)])


def session_of(server: LiveServer) -> dict:
    """Headers of a browser that the demo shop has paired."""
    with urllib.request.urlopen(f"{server.url}/api/session", timeout=LIMIT_S) as answer:
        cookie = answer.headers["Set-Cookie"].partition(";")[0]
        return {"Cookie": cookie, "X-CSRFToken": json.load(answer)["csrf"], "Content-Type": "application/json"}
