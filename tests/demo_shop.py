"""One demo shop's server for all browser tests of a process; each module begins on the store as it was at first."""

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.live_server import LiveServer

_WAIT_FOR_WRITER_S = 30


class DemoShop:
    """The running server in a with statement: a start costs more than most tests do."""

    def __init__(self, folder: Path):
        self._server, self._kept = LiveServer(folder / "store"), folder / "kept.db"

    def __enter__(self):
        self._server.start()
        with closing(self._open()) as store, closing(sqlite3.connect(self._kept)) as kept:
            store.backup(kept)
        return self

    def __exit__(self, *_):
        self._server.stop()

    def begin_again(self) -> str:
        """Bring the store back to what it was when the shop was made; returns the server's address."""
        with closing(self._open()) as store:
            store.execute("ATTACH ? AS kept", [str(self._kept)])
            tables = [name for (name,) in store.execute("SELECT name FROM kept.sqlite_master WHERE type = 'table'")]
            store.execute("BEGIN IMMEDIATE")
            for table in tables:
                store.execute(f'DELETE FROM main."{table}"')
                store.execute(f'INSERT INTO main."{table}" SELECT * FROM kept."{table}"')
            store.execute("COMMIT")
        return self._server.url

    def let_age(self, job: str) -> None:
        """Make a closed job one that no phone is sent by itself: nothing has come for it for long."""
        with closing(self._open()) as store:
            store.execute("UPDATE job SET changed_ms = 0 WHERE id = ?", [job])

    def _open(self) -> sqlite3.Connection:
        return sqlite3.connect(
            self._server.store_folder / "tapermark.db", timeout=_WAIT_FOR_WRITER_S, isolation_level=None
        )
