"""Work in threads beside a test, waited for with an end: `begun` starts it, `ended` gives what it returned.

A thread that hangs fails its test with words that say where it stands, and holds up no other; one that fails does so
in the test that waits for it. A pool of threads, or a bare `join`, would wait without an end.
"""

import sys
import threading
import time
import traceback
from collections.abc import Callable
from concurrent.futures import Future, wait
from contextlib import contextmanager

LIMIT_S = 240  # far more than any needs on a busy machine; two in a row still end before pytest ends their test
_FRAMES = 3  # the innermost, which say what it waits for


class NeverEnded(Exception):
    """What was to end in time did not."""


class Work(Future):
    """`thread`: what does it."""

    thread: threading.Thread


def begun(work: Callable, *arguments) -> Work:
    """Start the work in a thread of its own. The thread holds up no process that ends."""
    begun = Work()

    def run():
        try:
            begun.set_result(work(*arguments))
        except BaseException as error:
            begun.set_exception(error)

    begun.thread = threading.Thread(target=run, name=getattr(work, "__qualname__", str(work)), daemon=True)
    begun.thread.start()
    return begun


def ended(*works: Work, limit_s: float = LIMIT_S) -> list:
    """Wait for all of them; return what each returned, or raise what the first of them raised."""
    _, late = wait(works, limit_s)
    if late:
        told = "; ".join(f"{each.thread.name}, which stands at {_place(each.thread)}" for each in works if each in late)
        raise NeverEnded(f"expected {len(works)} threads to end within {limit_s} s; {len(late)} did not: {told}")
    return [each.result(0) for each in works]


@contextmanager
def meanwhile(act: Callable[[], None], every_s: float):
    """Do the act again and again, with a pause before each, for as long as the block lasts."""
    is_over = threading.Event()

    def go_on():
        while not is_over.wait(every_s):
            act()

    work = begun(go_on)
    try:
        yield
    finally:
        is_over.set()
        ended(work)


def all_ended(work: Callable, each_given: list, limit_s: float = LIMIT_S) -> list:
    """Do the work for each at the same time; return what it returned for each."""
    return ended(*[begun(work, given) for given in each_given], limit_s=limit_s)


def until(is_so: Callable[[], bool], awaited: str, limit_s: float = LIMIT_S) -> None:
    """Look again and again until it is so."""
    end = time.monotonic() + limit_s
    while not is_so():
        if time.monotonic() > end:
            raise NeverEnded(f"expected {awaited} within {limit_s} s")
        time.sleep(0.01)


def _place(thread: threading.Thread) -> str:
    frame = sys._current_frames().get(thread.ident)
    frames = traceback.extract_stack(frame)[-_FRAMES:] if frame else []
    return " < ".join(f"{each.name} ({each.filename}:{each.lineno})" for each in reversed(frames)) or "its end"
