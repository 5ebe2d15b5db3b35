"""How often somebody may try to sign in or to pair. The counts lie in the database, so all processes share them.

Each try is noted before it is judged: tries at the same moment cannot slip past together. Waiting grows with every
failure. A stranger who fails in somebody's name makes their own address wait and, where tries come from many addresses,
those from which that person never signed in; the places that a person is known to come from stay open.

The server's clock may have been wrong: what is dated further ahead than a window is long counts as what is that old.
"""

import hashlib
from dataclasses import dataclass

from server.limits import DAY_MS
from server.store import Database, sign_in_attempts
from server.web.addresses import is_loopback, place_of
from server.web.errors import Problem

WINDOW_MS = 3600 * 1000  # failures older than this are forgotten
_KNOWN_FOR_MS = 90 * DAY_MS  # how long a place stays known after a success
_FIRST_WAIT_MS = 30_000


@dataclass(frozen=True)
class Limit:
    """`free` failures pass; from then on each wait is twice the one before, up to `longest_ms`."""

    free: int
    longest_ms: int

    def wait_ms(self, number: int, last_ms: int, now_ms: int) -> int:
        if number < self.free:
            return 0
        wait = min(self.longest_ms, _FIRST_WAIT_MS * 2 ** min(number - self.free, 10))
        return max(0, last_ms + wait - now_ms)


NAME_AND_ADDRESS = Limit(5, 15 * 60_000)
ADDRESS = Limit(20, 15 * 60_000)
NAME = Limit(50, 5 * 60_000)  # from wherever it is not known
ALL = Limit(300, 60_000)  # the same
PAIR_ADDRESS = Limit(5, 15 * 60_000)
PAIR_ALL = Limit(50, 60_000)


def name_digest(name_key: str) -> str:
    return hashlib.sha256(name_key.encode()).hexdigest()


def begin_sign_in(database: Database, name_key: str, address: str, now_ms: int) -> str:
    """Note a try and return its id. Problem: `too-many-tries`."""
    name, place = name_digest(name_key), place_of(address)
    since_ms, until_ms = now_ms - WINDOW_MS, now_ms + WINDOW_MS

    def waits(connection):
        known_ms = sign_in_attempts.last_success_ms(connection, "sign-in", name, place, now_ms)
        here = sign_in_attempts.failures(
            connection, "sign-in", max(since_ms, known_ms), until_ms, name=name, address=place
        )
        yield NAME_AND_ADDRESS.wait_ms(*here, now_ms)
        yield ADDRESS.wait_ms(
            *sign_in_attempts.failures(connection, "sign-in", since_ms, until_ms, address=place), now_ms
        )
        if known_ms > now_ms - _KNOWN_FOR_MS or is_loopback(address):
            return
        yield NAME.wait_ms(*sign_in_attempts.failures(connection, "sign-in", since_ms, until_ms, name=name), now_ms)
        yield ALL.wait_ms(*sign_in_attempts.failures(connection, "sign-in", since_ms, until_ms), now_ms)

    return _begin(database, "sign-in", name, place, now_ms, waits)


def begin_pairing(database: Database, address: str, now_ms: int) -> str:
    """Note a try and return its id. Problem: `too-many-tries`."""
    place, since_ms, until_ms = place_of(address), now_ms - WINDOW_MS, now_ms + WINDOW_MS

    def waits(connection):
        yield PAIR_ADDRESS.wait_ms(
            *sign_in_attempts.failures(connection, "pair", since_ms, until_ms, address=place), now_ms
        )
        yield PAIR_ALL.wait_ms(*sign_in_attempts.failures(connection, "pair", since_ms, until_ms), now_ms)

    return _begin(database, "pair", name_digest(""), place, now_ms, waits)


def _begin(database: Database, what: str, name: str, place: str, now_ms: int, waits) -> str:
    with database.alone() as connection:
        sign_in_attempts.forget_far(connection, now_ms, WINDOW_MS, _KNOWN_FOR_MS)
        wait_ms = max(waits(connection))
        if wait_ms == 0:
            return sign_in_attempts.add(connection, what, name, place, now_ms)
    raise Problem("too-many-tries", seconds=-(-wait_ms // 1000))
