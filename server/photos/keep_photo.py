"""Puts a photo into the store, re-encoded, under the name that the phone gave it. It checks no permission."""

from server.photos.pictures import Picture, re_encode
from server.store import Connection, Database, photos
from server.store.photo_files import name_of

__all__ = ["drop_ahead", "keep_photo", "keep_picture", "move_out_of_rows", "name_of", "put_ahead"]
_AT_ONCE = 8  # pictures in memory


def put_ahead(database: Database, picture: Picture) -> None:
    """Write the picture's file before the transaction that adds its row, so that no entry waits for it."""
    if database.photo_files is not None:
        database.photo_files.put(name_of(picture.content), picture.content)


def drop_ahead(database: Database, picture: Picture) -> None:
    """Take that file away again, unless a photo has it: two may be the same picture."""
    etag = name_of(picture.content)
    if database.photo_files is not None:
        with database.snapshot() as connection:
            is_used = photos.has_etag(connection, etag)
        if not is_used:
            database.photo_files.remove([etag])


def keep_photo(connection: Connection, pairing: str, content: bytes, now_ms: int) -> None:
    keep_picture(connection, pairing, name_of(content), re_encode(content), now_ms)


def keep_picture(connection: Connection, pairing: str, name: str, picture: Picture, now_ms: int) -> None:
    row = {
        "sha256": name,
        "etag": name_of(picture.content),
        "content": picture.content,
        "width": picture.width,
        "height": picture.height,
        "pairing": pairing,
        "received_ms": now_ms,
    }
    photos.add(connection, row)


def move_out_of_rows(database: Database) -> None:
    """Make files of the pictures that an older program has put into the database. One that is not what it was stays
    where it is, and `check` names it.

    Each file is written while its row can be neither erased nor changed, and the row lets go of the bytes by the
    commit, after the file: whoever dies between leaves a file that its row still names, so that it is taken the next
    time, or erased with the row.
    """
    if database.photo_files is None:
        return
    after = ""
    while True:
        with database.snapshot() as connection:
            rows = photos.in_rows(connection, after, _AT_ONCE)
        if not rows:
            return
        for row in rows:
            if name_of(row.content) == row.etag:
                _move_out(database, row)
        after = rows[-1].sha256


def _move_out(database: Database, row) -> None:
    """One picture a turn: an entry waits for no more than one."""
    with database.transaction() as connection:
        if photos.empty_row(connection, row.sha256):  # it may have been erased since it was read
            database.photo_files.put(row.etag, row.content)
