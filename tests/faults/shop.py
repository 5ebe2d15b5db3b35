"""The shop's server for histories: the real application in this process, which can be restored from its newest backup.

Requests reach it as the browser sent them. It never touches a phone.
"""

import json
import secrets
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import delete, select, update
from werkzeug.test import Client

from server import create_app
from server.auth.pairing import new_code
from server.commands.backup import make_backup
from server.commands.restore import restore
from server.store import schema
from server.sync.erase import erase_job
from server.transfer.import_file import take_in

START_MS = 1_790_000_000_000  # a day in September 2026
STORE = "tapermark.db"
_URL = "http://127.0.0.1"
_PATIENCE_S = 60
_ON_THE_WAY = ("host", "connection", "content-length", "accept-encoding")  # of this connection, not of the request


def _without_lines(body: bytes) -> bytes:
    request = json.loads(body)
    return json.dumps(
        {name: part for name, part in request.items() if name not in ("whole", "bring", "lines")}
    ).encode()


def quiet(_done, _total):
    pass


def make_fresh_store(folder: Path) -> None:
    """Make a store without ring sets or jobs; histories copy it. Ring tables would only make every phone slower."""
    app = create_app({"STORE_FOLDER": folder, "DEMO_JOBS": False})
    with app.extensions["database"].transaction() as connection:
        for table in (schema.ring_set, schema.ring_table):
            connection.execute(delete(table))
    app.extensions["database"].close()


class Shop:
    """One shop on a copy of a fresh store. `clock_ms` is the server's time; `is_old`: it answers as a server that knows
    no lines, and reads nothing of them; `backed_up`: ids of entries in its backups. Call `begin` before each history.
    """

    def __init__(self, fresh: Path, folder: Path):
        self._fresh, self._folder, self.clock_ms = fresh, folder, START_MS
        self._at_work, self._requests = threading.Condition(), 0
        shutil.copytree(fresh, folder / "store")
        self.app = create_app({"STORE_FOLDER": folder / "store", "DEMO_JOBS": False, "NOW_MS": lambda: self.clock_ms})
        self.database = self.app.extensions["database"]
        self.begin()

    def begin(self) -> None:
        """Be a shop that was just set up."""
        self.clock_ms, self.is_old = START_MS, False
        self._backups = self._restores = 0
        self.backed_up: set[str] = set()
        with self._stopped():
            for left in [*(self._folder / "store").glob(f"{STORE}*"), *self._folder.glob("*-[0-9]*")]:
                left.unlink()
            shutil.copyfile(self._fresh / STORE, self._folder / "store" / STORE)

    def close(self) -> None:
        self.database.close()

    def answer(self, method: str, path: str, headers: dict, body: bytes) -> tuple[int, list, bytes]:
        """Answer one request of a browser: (status, headers as pairs, body)."""
        kept = {name: text for name, text in headers.items() if name.lower() not in _ON_THE_WAY}
        if self.is_old and path == "/api/entries":
            body = _without_lines(body)
        with self._at_work:
            self._requests += 1
        try:
            answer = Client(self.app.wsgi_app, use_cookies=False).open(
                path, method=method, headers=kept, data=body, base_url=_URL, buffered=True,
                environ_base={"REMOTE_ADDR": "127.0.0.1"},
            )  # fmt: skip
        finally:
            with self._at_work:
                self._requests -= 1
                self._at_work.notify_all()
        return answer.status_code, list(answer.headers), answer.data

    @contextmanager
    def _stopped(self) -> Iterator[None]:
        """Let the server finish what it is at, a killed phone's request too, and let others wait meanwhile."""
        with self._at_work:
            assert self._at_work.wait_for(lambda: self._requests == 0, _PATIENCE_S), "a request never ends"
            self.database.close()
            yield

    def backup(self) -> None:
        self._backups += 1
        self.backed_up |= {entry["id"] for entry in self.entries()}
        make_backup(self.database, self._folder / f"backup-{self._backups}", self.clock_ms, quiet)

    @property
    def has_backup(self) -> bool:
        return self._backups > 0

    def restore(self) -> None:
        """Put the newest backup in the store's place, as after the disk died; the server then opens that one."""
        self._restores += 1
        aside, backup = self._folder / f"aside-{self._restores}", self._folder / f"backup-{self._backups}"
        with self._stopped():
            restore(self.app.config["DATABASE_URL"], backup, aside, self.clock_ms, quiet)

    def take_file(self, exported: dict) -> None:
        """Take in at the desk what a phone saved as a file."""
        take_in(self.database, exported, "Office", "127.0.0.1", self.clock_ms)

    def become_real(self) -> None:
        """No demo shop any more: from now on a phone needs a code."""
        with self.database.transaction() as connection:
            connection.execute(update(schema.shop).values(demo=False))

    def change_key(self) -> None:
        """Every cookie that was given out is worth nothing now, as after the key file was lost."""
        self.app.config.update(SECRET_KEY=secrets.token_hex(32), SECRET_KEY_FALLBACKS=[])

    def new_code(self) -> str:
        return new_code(
            self.database, self.app.config["SECRET_KEY"], "Pit phone", "Ines Tavell", "127.0.0.1", self.clock_ms
        )

    def end_pairings(self) -> None:
        with self.database.transaction() as connection:
            connection.execute(update(schema.pairing).values(revoked_ms=self.clock_ms))

    def entries(self) -> list[dict]:
        """Every entry that the server holds, without those that were erased."""
        query = select(schema.entry.c.raw).where(schema.entry.c.erased_ms.is_(None))
        with self.database.transaction() as connection:
            return [json.loads(raw) for raw in connection.scalars(query)]

    def epoch(self) -> str:
        with self.database.transaction() as connection:
            return connection.scalar(select(schema.shop.c.epoch))

    def rows(self) -> list:
        """(id, job, seq, erased_ms) of every entry."""
        of = schema.entry.c
        with self.database.transaction() as connection:
            return list(connection.execute(select(of.id, of.job, of.seq, of.erased_ms)))

    def jobs(self) -> dict:
        """Job -> its row."""
        with self.database.transaction() as connection:
            return {row.id: row for row in connection.execute(select(schema.job))}

    def erase(self, job: str) -> None:
        """Erase a job at the desk, where there is one."""
        with self.database.transaction() as connection:
            erase_job(connection, job, self.clock_ms)

    def photos(self) -> set[str]:
        with self.database.transaction() as connection:
            return set(connection.scalars(select(schema.photo.c.sha256)))

    def set_aside(self) -> set[str]:
        """Ids of the entries that were refused."""
        with self.database.transaction() as connection:
            return set(connection.scalars(select(schema.set_aside.c.entry)))

    def open_jobs(self) -> set[str]:
        with self.database.transaction() as connection:
            return set(connection.scalars(select(schema.job.c.id).where(schema.job.c.state == "open")))
