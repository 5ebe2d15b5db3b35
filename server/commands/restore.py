"""Puts a backup in the place of the store, under a new epoch, so that every phone notices and sends what is missing.

What the store held before is kept aside; nothing is deleted.
"""

import shutil
from dataclasses import dataclass
from pathlib import Path

from server.commands.backup import Trouble, copy_rows
from server.keys.private_folder import make_private
from server.store import Database, NewerStore, audit_lines, files, photos, rows, shops
from server.store.photo_files import PhotoFiles, beside
from server.transfer.progress import Progress

_STOP_FIRST = "The store is in use: stop the server (and any other program that has it open), then restore again."


@dataclass(frozen=True)
class Restored:
    seq: int  # of the last entry
    entries: int
    photos: int
    lost: int  # photos of the backup whose bytes were nowhere: phones are asked for them again
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
            sources = [beside(backup), beside(ready)]
            contents["lost"] = _find_photos(backup, ready, sources, progress, bring=target.sqlite_file is not None)
            contents["photos"] -= contents["lost"]
            if target.sqlite_file is not None:
                kept = _into_sqlite(ready, target.sqlite_file, aside)
            else:
                kept = _into_postgresql(ready, target, aside, progress, sources)
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


def _find_photos(backup: Path, ready: Path, sources: list[PhotoFiles], progress: Progress, bring: bool) -> int:
    """Find the bytes of every photo whose row has none, sound, beside the backup or in the store, and `bring` them
    where the store has them. Returns how many are lost; those are noted to be asked for again.
    """
    copy, own = Database.of_file(ready), beside(ready)
    try:
        with copy.snapshot() as connection:
            rows = [(row.sha256, row.etag) for row in photos.each(connection) if not row.size]
        lost = []
        for done, (name, etag) in enumerate(rows, 1):
            progress(done, len(rows))
            found = next((source for source in sources if source.is_sound(etag)), None)
            if found is None:
                lost.append(name)
            elif bring and not own.is_sound(etag):
                own.remove([etag])
                own.bring(etag, found)
        if lost and not sources[0].folder.is_dir():
            raise Trouble(
                f"{backup} has {len(rows)} photos, and the folder with them, {sources[0].folder}, is not beside it. Put"
                " it there. If it is lost, make an empty folder of that name and restore again: phones then send those"
                " that they still have. The store was not changed."
            )
        with copy.transaction() as connection:
            photos.await_again(connection, lost)
    finally:
        copy.close()
    files.make_one_file(ready)
    return len(lost)


def _into_sqlite(ready: Path, target: Path, aside: Path) -> bool:
    try:
        had_any = files.move_aside(target, aside)
    except files.InUse:
        raise Trouble(_STOP_FIRST) from None
    files.put_in_place(ready, target)
    return had_any


def _into_postgresql(ready: Path, target: Database, aside: Path, progress: Progress, sources: list[PhotoFiles]) -> bool:
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
            rows.copy_all(reading, writing, progress, sources)
    finally:
        source.close()
    return had_any


def _remove(path: Path) -> None:
    for suffix in ("", *files.BESIDE):
        Path(f"{path}{suffix}").unlink(missing_ok=True)
