"""The process that serves: the application, its threads and the acceptor, until its parent says stop or is gone."""

import asyncio
import ctypes
import multiprocessing
import multiprocessing.connection
import os
import signal
import socket
import ssl
import sys
import threading
from contextlib import suppress
from pathlib import Path

from server import create_app
from server.limits import LARGEST_IMPORT, LARGEST_PHOTO
from server.listen import limits
from server.listen.accept import Acceptor
from server.listen.connection import Talk
from server.listen.read_bodies import Bodies, Sender
from server.listen.wsgi_calls import Calls
from server.web.slow_bodies import sender_of

READY = "ready"
_M_MMAP_THRESHOLD = -3  # of glibc's malloc.h
_LARGE_BLOCK = 1_000_000  # bytes
_LOOK_S = 5
_IMPORTS = "/desk/import"


def work(listening: socket.socket, tls_files: tuple[Path, Path] | None, orders) -> None:
    """Serve until something, or the end, comes by `orders`, a connection to the parent; says READY by it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C goes to both; the parent decides
    _give_memory_back()
    most = limits.most_connections()
    app = create_app()
    asyncio.run(_serve(app, listening, tls_files, most, orders))
    app.extensions["database"].close()
    os._exit(0)  # a thread that is still answering has had its time


async def _serve(app, listening, tls_files, most: int, orders) -> None:
    tls = _tls_of(tls_files)
    calls = Calls(app.wsgi_app, "https" if tls else "http")
    look = sender_of(app)

    async def who(environ: dict) -> Sender:
        return Sender(*await calls.in_thread(look, environ))

    acceptor = Acceptor(listening, tls, Talk(calls, Bodies(who, _largest)), most, shares=app.config["PROXIES"] == 0)
    standing_open = asyncio.create_task(acceptor.stand_open())
    keeping_young = asyncio.create_task(_keep_young(tls, tls_files))
    told_to_stop = asyncio.Event()
    _listen_to_parent(orders, asyncio.get_running_loop(), told_to_stop)
    orders.send(READY)
    await told_to_stop.wait()
    standing_open.cancel()
    keeping_young.cancel()
    await acceptor.close(limits.FINISHING_S)


def _largest(path: str) -> int:
    return LARGEST_IMPORT if path.startswith(_IMPORTS) else LARGEST_PHOTO


def _listen_to_parent(orders, loop, told_to_stop: asyncio.Event) -> None:
    """A worker whose parent was killed would go on holding the port; the parent's sentinel tells on every system."""
    parent = multiprocessing.parent_process()

    def watch():
        if parent.sentinel in multiprocessing.connection.wait([parent.sentinel, orders]):
            os._exit(0)
        loop.call_soon_threadsafe(told_to_stop.set)

    threading.Thread(target=watch, daemon=True).start()


def _tls_of(files: tuple[Path, Path] | None) -> ssl.SSLContext | None:
    if files is None:
        return None
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.set_alpn_protocols(["http/1.1"])
    context.load_cert_chain(*files)
    return context


async def _keep_young(tls: ssl.SSLContext | None, files: tuple[Path, Path] | None) -> None:
    """Take a certificate that was renewed for every connection from then on; the parent renews it (nightly.py)."""
    taken = files and files[0].stat().st_mtime_ns
    while tls is not None:
        await asyncio.sleep(_LOOK_S)
        with suppress(OSError):  # between the key and its certificate: the next look finds both
            if (made := files[0].stat().st_mtime_ns) != taken:
                tls.load_cert_chain(*files)
                taken = made


def _give_memory_back() -> None:
    """Let glibc return large blocks when they are freed; it would keep those of a picture for every thread."""
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):  # another C library
            ctypes.CDLL(None).mallopt(_M_MMAP_THRESHOLD, _LARGE_BLOCK)
