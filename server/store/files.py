"""SQLite files as wholes: copied while others write to them, judged, made one file, moved aside. It knows no table."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

BESIDE = ("-wal", "-shm", "-journal")  # what SQLite keeps beside a database that is or was in use
_PAGES_AT_ONCE = 2_000  # some 8 MB between two words of progress
_FREE_COPIED = 0.25  # of the file at most
_WAIT_S = 30
_FLAWS_SHOWN = 20


class InUse(Exception):
    """Another program has the database open."""


def copy_live(source: Path, target: Path, progress: Callable[[int, int], None]) -> None:
    """Copy one state of the database into the empty file `target`, however busy its writers are.

    The reader's open transaction holds that state; without it SQLite would begin the copy again at every write. Where
    much of the file is free, such as after pictures have left it, only what is used is copied.
    """
    with closing(_open(source)) as reader:
        if _share_free(reader) > _FREE_COPIED:
            reader.execute("VACUUM INTO ?", [str(target)])
            return
    with closing(_open(source)) as reader, closing(_open(target)) as copy:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        reader.backup(copy, pages=_PAGES_AT_ONCE, progress=lambda _, left, total: progress(total - left, total))


def _share_free(connection: sqlite3.Connection) -> float:
    free, pages = (connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("freelist_count", "page_count"))
    return free / max(pages, 1)


def flaws(path: Path) -> list[str]:
    """Return what SQLite finds wrong with the file; an empty list is a sound database."""
    try:
        with closing(_open(path)) as connection:
            found = [row[0] for row in connection.execute(f"PRAGMA integrity_check({_FLAWS_SHOWN})")]
            orphans = connection.execute("PRAGMA foreign_key_check").fetchmany(_FLAWS_SHOWN)
    except sqlite3.DatabaseError as error:
        return [str(error)]
    return [line for line in found if line != "ok"] + [f"{row[0]}: a row names no row of {row[2]}" for row in orphans]


def make_one_file(path: Path) -> None:
    """Fold what lies beside the database into it. Raises InUse where somebody else has it open."""
    with closing(_open(path, wait_s=1)) as connection:
        try:
            connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        except sqlite3.OperationalError as error:
            raise InUse(str(path)) from error


def create_private(path: Path) -> None:
    """Make an empty file that only its owner may read; there must be none of that name."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def put_in_place(path: Path, target: Path) -> None:
    """Give a finished file its name, so that a power cut leaves the whole of it or none."""
    sync(path)
    os.replace(path, target)
    sync(target.parent)


def move_aside(path: Path, aside: Path) -> bool:
    """Move a database with all that lies beside it; what was left there would be replayed into a later file.

    Returns whether there was anything. Raises InUse where somebody has it open. A damaged one is moved as it is.
    """
    if path.exists():
        with suppress(sqlite3.DatabaseError):
            make_one_file(path)
    present = [suffix for suffix in ("", *BESIDE) if Path(f"{path}{suffix}").exists()]
    for suffix in present:
        os.replace(f"{path}{suffix}", f"{aside}{suffix}")
    return bool(present)


def _open(path: Path, wait_s: float = _WAIT_S) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=wait_s, isolation_level=None)


def sync(path: Path) -> None:
    """Have the disk hold what was written to a file, or which files a folder has."""
    if path.is_dir() and os.name != "posix":
        return  # elsewhere a folder cannot be opened
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
