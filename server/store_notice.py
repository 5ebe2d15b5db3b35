"""What the office must know of a store that cannot be written, or soon cannot, in words. It looks at the disk alone."""

from server.store import Database
from server.store.not_writable import FULL, LOW_BYTES, READ_ONLY, look_at

_NOTICES = {
    FULL: "The disk of this server is full. Nothing that phones send is kept, and it stays on the phones. Make room on"
    " the disk that holds {folder}; phones then send by themselves.",
    READ_ONLY: "The store of this server cannot be written. Nothing that phones send is kept, and it stays on the"
    " phones. Let this program write in {folder} again; where the system has shut the disk by itself, have it checked.",
    None: "The disk of this server is nearly full: {megabytes} MB are left. Make room on the disk that holds {folder}"
    " before nothing can be kept any more.",
}


def reason_of(database: Database) -> str | None:
    """Return `store-full` or `store-read-only` where nothing can be kept, else None."""
    return look_at(database.sqlite_file.parent)[0] if database.sqlite_file is not None else None


def notice_of(database: Database) -> str | None:
    """Return the notice, or None where all is well. A PostgreSQL has its disk elsewhere, and its own watch."""
    if database.sqlite_file is None:
        return None
    folder = database.sqlite_file.parent
    reason, free = look_at(folder)
    if reason is None and free >= LOW_BYTES:
        return None
    return _NOTICES[reason].format(folder=folder, megabytes=free // 1_000_000)
