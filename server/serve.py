"""Runs the application under granian: one worker process with threads, so that SQLite has one writer.

It must leave nothing behind: a worker ends with its parent, however that one ended.
"""

import multiprocessing
import multiprocessing.connection
import os
import socket
import sys
import threading

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from server import config, create_app
from server.store import Unreachable

_THREADS = 32  # a slow body holds one of them
_SECONDS_TO_FINISH = 2  # then a worker that still waits for a slow body is ended


def serve(host: str, port: int) -> int:
    """Serve until the process is told to stop. Returns the exit status."""
    if not 1 <= port <= 65535:
        print(f"--port: expected a number from 1 to 65535, got {port}.", file=sys.stderr)
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
        create_app().extensions["database"].close()
    except Unreachable as error:
        print(error, file=sys.stderr)
        return 1
    server = Granian(
        "server.serve:make_app", address=host, port=port, interface=Interfaces.WSGI, factory=True, workers=1,
        blocking_threads=_THREADS, workers_kill_timeout=_SECONDS_TO_FINISH, log_level=LogLevels.error,
        websockets=False,
    )  # fmt: skip
    server.on_startup(lambda: _greet(host, port))
    server.serve()
    return 0


def make_app():
    """Return the application, in the worker process."""
    _end_with_parent()
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


def _greet(host: str, port: int) -> None:
    shown = f"[{host}]" if ":" in host else host
    print(f"Tapermark serves the demo shop at http://{shown}:{port}/ (data: {config.store_folder()})", flush=True)
    print(f"Open that address on this machine; the desk is at http://{shown}:{port}/desk/", flush=True)
    print("Stop with Ctrl+C.", flush=True)
