"""No call of the browser's driver waits without an end: `bound_every_call` gives each of them a limit.

Playwright bounds what waits for a page by itself, but neither `evaluate`, whose promise may never settle, nor `close`,
nor a key that is pressed. Such a call ends its test with words that say what was awaited.
"""

import asyncio
import inspect

from playwright._impl._sync_base import SyncBase  # every call of its synchronous interface passes through here

LIMIT_S = 240  # far more than any needs on a busy machine; two in a row still end before pytest ends their test
_LONGEST_WORDS = 300


class NeverAnswered(Exception):
    """The browser did not answer in time. No error of Playwright's own: those some tests expect."""


def bound_every_call(limit_s: float = LIMIT_S):
    """Give every call a limit from now on; return what takes it away again."""
    unbounded = SyncBase._sync

    def bounded(self, call):
        return unbounded(self, _within(call, _told(call), limit_s) if inspect.iscoroutine(call) else call)

    def undo():
        SyncBase._sync = unbounded

    SyncBase._sync = bounded
    return undo


async def _within(call, told: str, limit_s: float):
    limit = asyncio.timeout(limit_s)
    try:
        async with limit:
            return await call
    except TimeoutError as error:
        if not limit.expired():
            raise
        raise NeverAnswered(f"expected an answer of the browser within {limit_s} s, got none: {told}") from error


def _told(call) -> str:
    """Return what is called, and with what, as far as it fits."""
    given = {name: value for name, value in inspect.getcoroutinelocals(call).items() if name != "self"}
    return f"{call.__qualname__} {given}"[:_LONGEST_WORDS]
