"""Runs the application under granian: one worker process with threads, so that SQLite has one writer.

It must leave nothing behind: a worker ends with its parent, however that one ended.
"""

import ctypes
import multiprocessing
import multiprocessing.connection
import os
import socket
import stat
import sys
import threading
import time
from contextlib import suppress
from datetime import UTC, datetime

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from server import certificate, config, create_app
from server.addresses import is_loopback
from server.store import Unreachable, shops

_THREADS = 32  # a slow body holds one of them; slow_bodies.py says how many of whom
_VANISHED = {"TCP_KEEPIDLE": 30, "TCP_KEEPINTVL": 10, "TCP_KEEPCNT": 3}  # s of silence, s between asking, how often
_M_MMAP_THRESHOLD = -3  # of glibc's malloc.h
_LARGE_BLOCK = 1_000_000  # bytes
_SECONDS_TO_FINISH = 2  # then a worker that still waits for a slow body is ended


def serve(host: str, port: int, https: bool = False) -> int:
    """Serve until the process is told to stop. Returns the exit status."""
    if not 1 <= port <= 65535:
        print(
            f"--port: expected a number from 1 to 65535, got {port}. Choose one, such as --port 8000.", file=sys.stderr
        )
        return 2
    reason = why_port_is_not_free(host, port)
    if reason:
        print(
            f"Cannot listen on {host}:{port}: {reason}. Stop the program that uses it, or choose another port:"
            f" python -m server serve --port {port + 1}",
            file=sys.stderr,
        )
        return 1
    try:  # what is wrong with the store is said here, before anything listens
        shop = _shop_of(create_app())
        tls = _tls(host, https)
    except (Unreachable, NoCertificate) as error:
        print(error, file=sys.stderr)
        return 1
    server = Granian(
        "server.serve:make_app", address=host, port=port, interface=Interfaces.WSGI, factory=True, workers=1,
        blocking_threads=_THREADS, workers_kill_timeout=_SECONDS_TO_FINISH, log_level=LogLevels.error,
        websockets=False, **tls,
    )  # fmt: skip
    server.on_startup(lambda: _greet(shop, "https" if tls else "http", host, port))
    server.serve()
    return 0


def make_app():
    """Return the application, in the worker process."""
    _end_with_parent()
    _give_memory_back()
    threading.Thread(target=_ask_after_silent_clients, daemon=True).start()
    return create_app()


def _end_with_parent() -> None:
    """A worker whose parent was killed would go on holding the port; the parent's sentinel tells on every system."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def watch():
        multiprocessing.connection.wait([parent.sentinel])
        os._exit(0)

    threading.Thread(target=watch, daemon=True).start()


def _ask_after_silent_clients() -> None:
    """Have the system end connections whose other end has vanished; a phone out of reach would hold a thread for ever.

    On Linux a connection takes over the options of the socket that listens; granian opens it, in this process.
    """
    if sys.platform != "linux":
        return
    while not (listening := [fd for fd in map(int, os.listdir("/proc/self/fd")) if _listens(fd)]):
        time.sleep(0.05)
    for fd in listening:
        with socket.socket(fileno=os.dup(fd)) as own:
            own.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
            for name, number in _VANISHED.items():
                own.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), number)


def _listens(fd: int) -> bool:
    with suppress(OSError):  # closed meanwhile
        if stat.S_ISSOCK(os.fstat(fd).st_mode):
            with socket.socket(fileno=os.dup(fd)) as own:
                return bool(own.getsockopt(socket.SOL_SOCKET, socket.SO_ACCEPTCONN))
    return False


def _give_memory_back() -> None:
    """Let glibc return large blocks when they are freed; it would keep those of a picture for every thread."""
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):  # another C library
            ctypes.CDLL(None).mallopt(_M_MMAP_THRESHOLD, _LARGE_BLOCK)


def why_port_is_not_free(host: str, port: int) -> str | None:
    """Return why nobody can listen there, or None. Granian itself would share a taken port without a word."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as probe:
            if os.name == "posix":  # elsewhere the option means stealing
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
            probe.listen(1)
    except OSError as error:
        return (error.strerror or str(error)).lower()
    return None


def _shop_of(app):
    """Return the shop, and leave its store."""
    database = app.extensions["database"]
    with database.transaction() as connection:
        shop = shops.shop_row(connection)
    database.close()
    return shop


class NoCertificate(Exception):
    """HTTPS was asked for by name, and there is nothing to do it with."""


def _tls(host: str, https: bool) -> dict:
    """Return what granian needs for HTTPS: nothing on loopback, where http is as safe, or without a certificate."""
    store = config.store_folder()
    if https and not certificate.is_there(store):
        raise NoCertificate("--https needs a certificate. Make one first: python -m server certificate")
    if not https and (is_loopback(host) or not certificate.is_there(store)):
        return {}
    if certificate.renew_if_old(store, datetime.now(UTC)):
        print("The certificate had grown old; a fresh one of the same authority is in use.", flush=True)
    files = certificate.paths(store)
    return {"ssl_cert": files["server.crt"], "ssl_key": files["server.key"]}


def _greet(shop, scheme: str, host: str, port: int) -> None:
    everywhere = host in ("0.0.0.0", "::")
    if everywhere and scheme == "https":
        host = certificate.names_of(config.store_folder())[0]
    shown = f"[{host}]" if ":" in host else host
    what = "the demo shop" if shop.demo else shop.name
    print(f"Tapermark serves {what} at {scheme}://{shown}:{port}/ (data: {config.store_folder()})", flush=True)
    if shop.demo:
        print(f"Open that address on this machine; the desk is at {scheme}://{shown}:{port}/desk/", flush=True)
        print("In the demo shop every browser on this machine counts as paired and as the owner.", flush=True)
    else:
        print(f"Sign in at the desk, {scheme}://{shown}:{port}/desk/, and pair the phones there.", flush=True)
    if scheme == "http" and not is_loopback(host) and config.proxies() == 0:
        print(
            "Phones and sign-in need HTTPS: run `python -m server certificate`, or put a reverse proxy in front and set"
            " TAPERMARK_PROXIES=1.",
            flush=True,
        )
    print("Stop with Ctrl+C.", flush=True)
