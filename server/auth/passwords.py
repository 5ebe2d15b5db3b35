"""Passwords: which are accepted, and how they are kept (argon2id). It knows no Flask and no store.

Cost after OWASP's Password Storage Cheat Sheet: 19 MiB, 2 passes, 1 lane. A sign-in re-hashes what was kept cheaper.
"""

import re
import threading

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from server.web.errors import Problem

SHORTEST = 12
LONGEST = 200
_FEWEST_DIFFERENT = 5
_COMMON = ("password", "passwort", "contraseña", "qwertyuiop", "tapermark", "letmein", "welcome")

_HASHER = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1)
# Each takes its memory; a crowd at the door must not take all of the machine's.
_AT_ONCE = threading.BoundedSemaphore(4)


def hash_of(password: str) -> str:
    with _AT_ONCE:
        return _HASHER.hash(password)


# What an unknown name is compared with, so that it takes as long as a known one.
_NOBODYS = _HASHER.hash("nobody has this password")


def is_right(password: str, kept: str | None) -> bool:
    """Compare with the kept hash; with none (an unknown name) it is as slow, and never right."""
    with _AT_ONCE:
        try:
            return _HASHER.verify(kept or _NOBODYS, password) and kept is not None
        except (VerificationError, InvalidHashError):
            return False


def is_kept_too_cheaply(kept: str) -> bool:
    return _HASHER.check_needs_rehash(kept)


def check(password: str, *names: str) -> None:
    """Refuse a password that others would guess. Any characters are taken. Problem: `weak-password`."""
    reason = _why_weak(password, names)
    if reason:
        raise Problem("weak-password", why=reason, shortest=SHORTEST)


def _why_weak(password: str, names: tuple[str, ...]) -> str | None:
    if len(password) < SHORTEST:
        return f"it has {len(password)} characters"
    if len(password) > LONGEST:
        return f"it has more than {LONGEST} characters"
    rest = re.sub(r"[\d\s]", "", password.lower())
    for word in sorted((*_COMMON, *(re.sub(r"[\d\s]", "", name.lower()) for name in names)), key=len, reverse=True):
        rest = rest.replace(word, "") if word else rest
    if len(set(rest)) < _FEWEST_DIFFERENT:
        return "it is little more than digits, a name, or a word that everybody tries first"
    return None
