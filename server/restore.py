"""Puts a backup in the place of the store, under a new epoch, so that every phone notices and sends what is missing.

What the store held before is kept aside; nothing is deleted.
"""

import shutil
from dataclasses import dataclass
from pathlib import Path

from server.backup import Trouble, copy_rows
from server.private_folder import make_private
from server.progress import Progress
from server.store import Database, NewerStore, audit_lines, files, rows, shops

_STOP_FIRST = "The store is in use: stop the server (and any other program that has it open), then restore again."


@dataclass(frozen=True)
class Restored:
    seq: int  # of the last entry
    entries: int
    photos: int
    kept_aside: Path | None  # where the store's former content is


def restore(url: str, backup: Path, aside: Path, now_ms: int, progress: Progress) -> Restored:
    """Fill the store at `url` from the file `backup`; its former content goes to `aside`. Raises Trouble.

    A SQLite store must not be in use. On PostgreSQL servers may run: they wait, and then go on with what was restored.
    """
    target = Database(url)
    try:
        folder = (target.sqlite_file or aside).parent
        make_private(folder)
        ready = folder / "restoring.db"
        _remove(ready)
        try:
            contents = _make_ready(backup, ready, now_ms)
            if target.sqlite_file is not None:
                kept = _into_sqlite(ready, target.sqlite_file, aside)
            else:
                kept = _into_postgresql(ready, target, aside, progress)
        finally:
            _remove(ready)
    except OSError as error:
        raise Trouble(f"{error.filename or folder}: {error.strerror}. The store was not changed.") from error
    finally:
        target.close()
    return Restored(**contents, kept_aside=aside if kept else None)


def _make_ready(backup: Path, ready: Path, now_ms: int) -> dict[str, int]:
    """Copy the backup, judge it, bring it up to this program's schema and give it a new epoch."""
    if not backup.is_file():
        raise Trouble(f"{backup} is no file. Give the path of a backup.")
    files.create_private(ready)
    shutil.copyfile(backup, ready)
    if (wal := Path(f"{backup}-wal")).exists():  # not a backup but a store copied by hand: its newest part lies there
        shutil.copyfile(wal, f"{ready}-wal")
    if found := files.flaws(ready):
        raise Trouble(f"{backup} is damaged or no backup ({found[0]}). Use another one; the store was not changed.")
    copy = Database.of_file(ready)
    try:
        if copy.revisions()[0] is None:
            raise Trouble(f"{backup} is a database, but no backup of Tapermark. The store was not changed.")
        copy.migrate()
        with copy.transaction() as connection:
            shops.begin_epoch(connection)
            audit_lines.add(connection, "restored", audit_lines.COMMAND_LINE, "", backup.name, now_ms)
            contents = {"seq": shops.last_seq(connection), **shops.numbers(connection)}
    except NewerStore as error:
        raise Trouble(
            f"{backup} was made by a newer program. Restore it with that one; the store was not changed."
        ) from error
    finally:
        copy.close()
    files.make_one_file(ready)
    return contents


def _into_sqlite(ready: Path, target: Path, aside: Path) -> bool:
    try:
        had_any = files.move_aside(target, aside)
    except files.InUse:
        raise Trouble(_STOP_FIRST) from None
    files.put_in_place(ready, target)
    return had_any


def _into_postgresql(ready: Path, target: Database, aside: Path, progress: Progress) -> bool:
    target.migrate()
    source = Database.of_file(ready)
    try:
        with source.snapshot() as reading, target.transaction() as writing:
            rows.lock_all(writing)
            had_any = shops.shop_row(writing) is not None
            if had_any:
                files.create_private(aside)
                copy_rows(writing, aside, progress)
            rows.remove_all(writing)
            rows.copy_all(reading, writing, progress)
    finally:
        source.close()
    return had_any


def _remove(path: Path) -> None:
    for suffix in ("", *files.BESIDE):
        Path(f"{path}{suffix}").unlink(missing_ok=True)
