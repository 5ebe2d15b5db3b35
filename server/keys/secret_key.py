"""The keys that sign the cookies: made at the first start, or given; a weak or well-known one stops the start.

The first key signs. The others are older ones that are still believed, so that a change of keys signs nobody out.
"""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from server.keys.private_folder import make_private

FILE = "secret-key"
VARIABLE = "TAPERMARK_SECRET_KEY"
_SHORTEST = 32
_FEWEST_DIFFERENT = 10
_MOST = 5
# What stands in examples and old hand-overs; a random key has none of it except by a freak of chance.
_KNOWN = ("secret", "password", "changeme", "change-me", "default", "example", "tapermark", "development", "12345678")


def secret_keys(folder: Path) -> list[str]:
    """Return the keys of the environment or of the store's folder, the signing one first; a first start makes it."""
    given = os.environ.get(VARIABLE)
    if given:
        return check_keys(given.split(), VARIABLE)
    path = folder / FILE
    make_private(folder)
    with suppress(FileExistsError):
        _write_new(path, [_fresh()])
    return check_keys(path.read_text("utf-8").split(), str(path))


def renew(folder: Path) -> None:
    """Put a fresh key in front of those of the folder."""
    _put(folder, [_fresh(), *secret_keys(folder)][:_MOST])


def _put(folder: Path, keys: list[str]) -> None:
    make_private(folder)
    fresh = folder / f"{FILE}.new"
    fresh.unlink(missing_ok=True)
    _write_new(fresh, keys)
    fresh.replace(folder / FILE)


def believe(folder: Path, other: Path) -> bool:
    """Believe the keys of another file as well; where the folder has none, they become its own. Returns whether any was
    new.
    """
    theirs = check_keys(other.read_text("utf-8").split(), str(other))
    path = folder / FILE
    own = path.read_text("utf-8").split() if path.exists() else []
    keys = list(dict.fromkeys([*own[:1], *theirs, *own[1:]]))[:_MOST]
    if keys == own:
        return False
    _put(folder, keys)
    return True


def check_keys(keys: list[str], where: str) -> list[str]:
    """Return the keys, or stop the program where one of them could be guessed."""
    reason = "holds no key" if not keys else next(filter(None, map(why_weak, keys)), None)
    if reason:
        raise SystemExit(
            f"{where} {reason}. Whoever knows or guesses the key can sign in as anybody. Delete it, and the next start"
            " makes a good one in the store's folder; every phone has to be paired again then."
        )
    return keys


def why_weak(key: str) -> str | None:
    """Return what is wrong with a key, or None."""
    if len(key) < _SHORTEST:
        return f"holds no key of at least {_SHORTEST} characters"
    if len(set(key)) < _FEWEST_DIFFERENT:
        return f"holds a key of fewer than {_FEWEST_DIFFERENT} different characters"
    if any(word in key.lower() for word in _KNOWN):
        return "holds a key out of an example"
    return None


def _fresh() -> str:
    return secrets.token_hex(_SHORTEST)


def _write_new(path: Path, keys: list[str]) -> None:
    """Write a file that only its owner can read. Raises FileExistsError."""
    handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write("\n".join(keys) + "\n")
