"""Keeps a worker running: listens, so that nobody is turned away meanwhile, and starts it again whatever ended it.

One worker with threads, so that SQLite has one writer. Neither leaves anything behind: the worker ends with its parent.
"""

import multiprocessing
import multiprocessing.connection
import signal
import socket
import sys
import time
from collections.abc import Callable
from pathlib import Path

from server.listen import limits
from server.listen.worker import READY, work

_LOOK_S = 0.5  # some systems let no signal through to somebody who waits
_LIVED_S = 60  # whoever lived so long is started again at once
_PAUSES_S = (0, 1, 5, 15, 30)


class Stopped(Exception):
    """Somebody has asked for the end."""


def keep_serving(listening: socket.socket, tls_files: tuple[Path, Path] | None, greet: Callable[[], None]) -> int:
    """Serve until the process is told to stop. `greet` is called once it serves. Returns the exit status."""
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, _stop)
    short_lives, worker, orders = 0, None, None
    try:
        while True:
            worker, orders = _start(listening, tls_files)
            born = time.monotonic()
            if _wait_until_ready(worker, orders):
                greet()
                greet = _nothing
                while not multiprocessing.connection.wait([worker.sentinel], _LOOK_S):
                    pass
            elif greet is not _nothing:
                return 1  # it has said why
            orders.close()
            worker.join()
            short_lives = 0 if time.monotonic() - born > _LIVED_S else short_lives + 1
            pause = _PAUSES_S[min(max(short_lives - 1, 0), len(_PAUSES_S) - 1)]
            print(
                f"The serving process ended by itself (status {worker.exitcode}); another is started"
                f"{f' in {pause} s' if pause else ''}. What was confirmed to anybody is stored.",
                file=sys.stderr, flush=True,
            )  # fmt: skip
            time.sleep(pause)
    except (Stopped, KeyboardInterrupt):
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, signal.SIG_IGN)
        listening.close()
        if worker is not None:
            _end(worker, orders)
        return 0


def _nothing() -> None:
    pass


def _stop(_number, _frame):
    raise Stopped


def _start(listening, tls_files):
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    worker = context.Process(target=work, args=(listening, tls_files, theirs), name="tapermark-worker")
    worker.start()
    theirs.close()
    return worker, ours


def _wait_until_ready(worker, orders) -> bool:
    while not (came := multiprocessing.connection.wait([orders, worker.sentinel], _LOOK_S)):
        pass
    try:
        return orders in came and orders.recv() == READY
    except EOFError:
        return False


def _end(worker, orders) -> None:
    orders.close()  # which it hears
    worker.join(limits.FINISHING_S + 1)
    if worker.is_alive():
        worker.kill()
        worker.join()
