"""Makes a backup of the whole store: entries, ring sets, pairings in one file, the photos' bytes in the folder `photos`
beside it, while the server goes on.

A photo never changes, and its file is named by what it holds: all backups in one folder share them, and each copies
only those that are new. The file is a SQLite database whatever the store is, so a backup of either goes back into
either. The shop's keys are not in it (keys/shop_keys.py). What a backup holds is recorded in the store only when the
file is whole, judged sound and on the disk, because phones let go of what a backup has.
"""

import uuid
from dataclasses import dataclass
from pathlib import Path

from server.limits import DAY_MS
from server.photos.keep_photo import move_out_of_rows
from server.store import Connection, Database, files, photos, rows, shops
from server.store.photo_files import FOLDER, beside
from server.transfer.progress import Progress

_ROUND_DAYS = 30  # in so many nights every copied photo is read again, some each night


class Trouble(Exception):
    """A reason for people why a backup or a restore was not made: what was wrong, what to do next."""


@dataclass(frozen=True)
class Backup:
    path: Path
    seq: int  # of the last entry in it
    entries: int
    photos: int
    size: int  # bytes of the file
    brought: int  # photos that were not beside it yet
    brought_bytes: int
    lost: list[str]  # photos whose bytes the store itself has lost


def make_backup(database: Database, target: Path, now_ms: int, progress: Progress) -> Backup:
    """Write the backup to the new file `target` and record it. Raises Trouble."""
    try:
        if target.exists():
            raise Trouble(f"{target} is there already, and a backup never replaces a file. Choose another name.")
        move_out_of_rows(database)
        known = set(beside(target).etags())  # the one walk through the folder
        due = {etag for etag in known if int(etag[:8], 16) % _ROUND_DAYS == now_ms // DAY_MS % _ROUND_DAYS}
        known -= set(beside(target).set_spoilt_aside(due))
        record, contents = _write(database, target, known, now_ms, progress)
    except OSError as error:
        raise Trouble(f"{target} cannot be written: {error.strerror}. Choose another place.") from error
    with database.transaction() as connection:
        photos.await_again(connection, contents["lost"])  # before phones hear that a backup has them
        shops.record_backup(connection, record)
        if shops.epoch(connection) != record.epoch:
            raise Trouble(f"The store was restored meanwhile. {target} is whole, but not recorded: make another one.")
    return Backup(target, record.seq, **contents, size=target.stat().st_size)


def _write(
    database: Database, target: Path, known: set[str], now_ms: int, progress: Progress
) -> tuple[shops.BackupRecord, dict]:
    """Make the file under another name, and give it its own when it is whole, sound and on the disk. `known`: the
    pictures that lie beside it already.
    """
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    partial = target.with_name(target.name + ".part")
    partial.unlink(missing_ok=True)  # of a backup that was cut off
    try:
        files.create_private(partial)
        lost = _copy(database, partial, progress)
        brought = _new_since(known, partial)
        record, contents = _record_inside(partial, now_ms)
        found = record, contents | brought | {"lost": lost}
        if flaws := files.flaws(partial):
            raise Trouble(f"The copy is damaged ({flaws[0]}). Run `check` on the store; the older backups stay.")
        files.put_in_place(partial, target)
    finally:
        partial.unlink(missing_ok=True)
    return found


def _copy(database: Database, target: Path, progress: Progress) -> list[str]:
    """Return the photos whose bytes the store has lost."""
    if database.sqlite_file is not None:
        files.copy_live(database.sqlite_file, target, progress)
        return _bring_photos(database, target, progress)
    with database.snapshot() as connection:
        copy_rows(connection, target, progress)
    return []


def _new_since(known: set[str], target: Path) -> dict[str, int]:
    """Return which photos of the copy have come beside it, as the fields of Backup."""
    copy, pictures = Database.of_file(target), beside(target)
    try:
        with copy.snapshot() as connection:
            fresh = {row.etag for row in photos.each(connection)} - known
    finally:
        copy.close()
    sizes = [size for etag in fresh if (size := pictures.size(etag)) is not None]
    return {"brought": len(sizes), "brought_bytes": sum(sizes)}


def _bring_photos(database: Database, target: Path, progress: Progress) -> list[str]:
    """Have the files of all photos in the copy beside it, before phones are told that a backup has them. Returns those
    that the store has lost or spoilt; one that was erased since the copy was made is not among them.
    """
    copy, pictures = Database.of_file(target), beside(target)
    try:
        with copy.snapshot() as connection:
            rows = [(row.sha256, row.etag) for row in photos.each(connection) if not row.size]
    finally:
        copy.close()
    if rows and not database.photo_files.folder.is_dir():
        raise Trouble(
            f"The store's folder of photos, {database.photo_files.folder}, is not there. Put it back, from a backup's"
            f" folder {FOLDER} where it is lost; then make the backup again."
        )
    lost = []
    for done, (name, etag) in enumerate(rows, 1):
        new = pictures.bring(etag, database.photo_files)
        if new is None:
            lost.append(name)
        progress(done, len(rows))
    with database.snapshot() as connection:
        return sorted(photos.held_of(connection, lost))


def copy_rows(source: Connection, target: Path, progress: Progress) -> None:
    """Copy all that `source` sees into a new SQLite file."""
    copy = Database.of_file(target)
    try:
        copy.migrate()
        with copy.transaction() as connection:
            rows.copy_all(source, connection, progress)
    finally:
        copy.close()
    files.make_one_file(target)


def _record_inside(path: Path, now_ms: int) -> tuple[shops.BackupRecord, dict[str, int]]:
    """Let the file know itself as a backup; return what has to be recorded in the store, and what to tell people."""
    copy = Database.of_file(path)
    try:
        with copy.transaction() as connection:
            record = shops.what_is_held(connection, str(uuid.uuid4()), now_ms)
            contents = shops.numbers(connection)
            shops.record_backup(connection, record)
    finally:
        copy.close()
    files.make_one_file(path)
    return record, contents
