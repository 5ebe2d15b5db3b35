"""Whether this server can keep what phones send: GET /health for whoever watches it, a notice for the office.

Neither has secrets; /health sets no cookie. What is said of the disk comes from a look at the disk alone.
"""

from flask import Blueprint, jsonify

from server.context import database
from server.store import FAULTS, Database, Unreachable, shops
from server.store.not_writable import FULL, LOW_BYTES, READ_ONLY, look_at

blueprint = Blueprint("health", __name__)
_NOTICES = {
    FULL: "The disk of this server is full. Nothing that phones send is kept, and it stays on the phones. Make room on"
    " the disk that holds {folder}; phones then send by themselves.",
    READ_ONLY: "The store of this server cannot be written. Nothing that phones send is kept, and it stays on the"
    " phones. Let this program write in {folder} again; where the system has shut the disk by itself, have it checked.",
    None: "The disk of this server is nearly full: {megabytes} MB are left. Make room on the disk that holds {folder}"
    " before nothing can be kept any more.",
}


@blueprint.get("/health")
def show():
    """200 and {"status": "ok"}; else 503 with `store-unreadable`, `store-full` or `store-read-only`."""
    status = _status()
    response = jsonify(format=1, status=status)
    response.headers["Cache-Control"] = "no-store"
    return response, 200 if status == "ok" else 503


def _status() -> str:
    try:
        with database().snapshot() as connection:
            shops.shop_row(connection)
    except (*FAULTS, Unreachable):
        return "store-unreadable"
    return reason_of(database()) or "ok"


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
