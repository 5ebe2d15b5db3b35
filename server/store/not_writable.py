"""Whether a store can be written: what a database says when it cannot, and a look at the disk itself."""

import errno
import os
import shutil
import tempfile
from pathlib import Path

FULL, READ_ONLY = "store-full", "store-read-only"  # as web/errors.py has them
LOW_BYTES = 50_000_000

_SQLITE = {"SQLITE_FULL": FULL, "SQLITE_IOERR_WRITE": FULL, "SQLITE_IOERR_SHMSIZE": FULL, "SQLITE_READONLY": READ_ONLY}
_POSTGRESQL = {"53100": FULL, "25006": READ_ONLY}  # PostgreSQL, Appendix A (read): disk_full, read_only_sql_transaction
_SYSTEM = {errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EROFS: READ_ONLY, errno.EACCES: READ_ONLY}


def why_not_writable(error: BaseException | None) -> str | None:
    """Return FULL or READ_ONLY where that is behind an exception, else None."""
    while error is not None:
        cause = getattr(error, "orig", None) or error
        name = getattr(cause, "sqlite_errorname", None) or ""
        if reason := next((reason for start, reason in _SQLITE.items() if name.startswith(start)), None):
            return reason
        if reason := _POSTGRESQL.get(getattr(cause, "sqlstate", None)):
            return reason
        if isinstance(error, OSError) and error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EROFS):
            return _SYSTEM[error.errno]
        error = error.__cause__ or error.__context__
    return None


def look_at(folder: Path) -> tuple[str | None, int]:
    """Return (FULL, READ_ONLY or None, bytes that are left), after writing a little into the folder."""
    reason = None
    try:
        with tempfile.TemporaryFile(dir=folder) as probe:
            probe.write(b"\0" * 8_192)
            probe.flush()
            os.fsync(probe.fileno())
    except OSError as error:
        reason = _SYSTEM.get(error.errno)
    return reason, shutil.disk_usage(folder).free
