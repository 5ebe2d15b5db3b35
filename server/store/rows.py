"""Copies every row from one database to another, whatever the two are. It changes nothing on the way."""

from collections.abc import Callable

from sqlalchemy import Connection, func, insert, select, text

from server.store.schema import metadata

_ROWS_AT_ONCE = 500
_LARGE_ROWS_AT_ONCE = 8  # pictures and tables, each up to some megabytes
_LARGE = ("photo", "ring_table")


def copy_all(source: Connection, target: Connection, progress: Callable[[int, int], None]) -> None:
    """Copy all rows into empty tables of the same schema; `progress` hears (rows done, all rows)."""
    total = sum(source.scalar(select(func.count()).select_from(table)) for table in metadata.sorted_tables)
    done = 0
    for table in metadata.sorted_tables:
        at_once = _LARGE_ROWS_AT_ONCE if table.name in _LARGE else _ROWS_AT_ONCE
        rows = source.execute(select(table), execution_options={"yield_per": at_once}).mappings()
        for batch in rows.partitions():
            target.execute(insert(table), [dict(row) for row in batch])
            done += len(batch)
            progress(done, total)


def lock_all(connection: Connection) -> None:
    """On PostgreSQL: wait until nobody else is at work, and keep everybody out until the transaction ends."""
    connection.execute(text(f"LOCK TABLE {_all_names()} IN ACCESS EXCLUSIVE MODE"))


def remove_all(connection: Connection) -> None:
    """Remove every row, on PostgreSQL; the transaction holds `lock_all`."""
    connection.execute(text(f"TRUNCATE {_all_names()}"))


def _all_names() -> str:
    return ", ".join(f'"{table.name}"' for table in metadata.sorted_tables)
