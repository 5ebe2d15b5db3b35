"""Keeps the store's folder to the account that the server runs under: 0700, and 0600 for every file of ours in it.

SQLite gives what it writes beside a database the mode of the database. Files that we did not make are left as they are,
for somebody may have put the store into a folder of their own. Where a file system knows no modes, nothing changes.
"""

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

_OURS = ("tapermark.db*", "before-restore-*", "restoring.db*", "secret-key*", "certificate", "backups", "photos")
_OTHERS = 0o077


def make_private(folder: Path) -> None:
    """Make the folder, or shut one that is there, with all that an older program left open in it.

    What belongs to another account cannot be shut from here; `check` names it.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for path in open_to_others(folder):
        with suppress(OSError):
            path.chmod(0o700 if path.is_dir() else 0o600)


def open_to_others(folder: Path) -> list[Path]:
    """Return the folder and those files of ours in it that other accounts of this machine may open."""
    if os.name != "posix":
        return []
    return [path for path in _ours(folder) if path.lstat().st_mode & _OTHERS and not path.is_symlink()]


def _ours(folder: Path) -> Iterator[Path]:
    yield folder
    for pattern in _OURS:
        for path in folder.glob(pattern):
            yield path
            if path.is_dir() and not path.is_symlink():
                yield from path.rglob("*")
