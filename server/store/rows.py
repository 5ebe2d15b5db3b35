"""Copies every row from one database to another, whatever the two are. It changes nothing on the way."""

from collections.abc import Callable, Iterator, Sequence

from sqlalchemy import Connection, func, insert, select, text

from server.store import photos, schema
from server.store.photo_files import PhotoFiles
from server.store.schema import metadata

_ROWS_AT_ONCE = 500
_LARGE_ROWS_AT_ONCE = 8  # tables, each up to some megabytes
_LARGE = ("ring_table",)
_PHOTOS_AT_ONCE = 100  # rows, of which most have no bytes to copy


def copy_all(
    source: Connection, target: Connection, progress: Callable[[int, int], None], pictures: Sequence[PhotoFiles] = ()
) -> None:
    """Copy all rows into empty tables of the same schema; `progress` hears (rows done, all rows). `pictures`: where
    files of the source may lie, if not beside it.
    """
    total = sum(source.scalar(select(func.count()).select_from(table)) for table in metadata.sorted_tables)
    done = 0
    for table in metadata.sorted_tables:
        if table is schema.photo:
            copied = _copy_photos(source, target, pictures or [photos.files_of(source)])
            done = _told(progress, done, total, copied)
            continue
        at_once = _LARGE_ROWS_AT_ONCE if table.name in _LARGE else _ROWS_AT_ONCE
        rows = source.execute(select(table), execution_options={"yield_per": at_once}).mappings()
        for batch in rows.partitions():
            target.execute(insert(table), [dict(row) for row in batch])
            done += len(batch)
            progress(done, total)


def _told(progress, done: int, total: int, batches: Iterator[int]) -> int:
    for number in batches:
        done += number
        progress(done, total)
    return done


def _copy_photos(source: Connection, target: Connection, pictures: Sequence[PhotoFiles]) -> Iterator[int]:
    """Copy each photo, its bytes from where they lie to where they lie there; those that are there already are not
    even read. Where a file is lost the row comes alone.
    """
    names = list(source.scalars(select(schema.photo.c.sha256).order_by(schema.photo.c.sha256)))
    kept = photos.files_of(target)
    for start in range(0, len(names), _PHOTOS_AT_ONCE):
        rows = []
        for row in list(photos.each(source, names[start : start + _PHOTOS_AT_ONCE])):
            content = b""
            if row.size and (kept is None or kept.size(row.etag) != row.size):
                content = photos.content_in_row(source, row.sha256)
            elif not row.size and kept is None:
                content = next(filter(None, (each.read(row.etag) for each in pictures if each.is_sound(row.etag))), b"")
            elif not row.size:
                next((each for each in pictures if kept.bring(row.etag, each) is not None), None)
            if kept is not None and content:
                kept.put(row.etag, content)
                content = b""
            rows.append({name: part for name, part in row._mapping.items() if name != "size"} | {"content": content})
        target.execute(insert(schema.photo), rows)
        yield len(rows)


def lock_all(connection: Connection) -> None:
    """On PostgreSQL: wait until nobody else is at work, and keep everybody out until the transaction ends."""
    connection.execute(text(f"LOCK TABLE {_all_names()} IN ACCESS EXCLUSIVE MODE"))


def remove_all(connection: Connection) -> None:
    """Remove every row, on PostgreSQL; the transaction holds `lock_all`."""
    connection.execute(text(f"TRUNCATE {_all_names()}"))


def _all_names() -> str:
    return ", ".join(f'"{table.name}"' for table in metadata.sorted_tables)
