"""Starts a throwaway PostgreSQL for the tests, or brings Debian's package; run as a program by tests/run.

The cluster lies in a temporary folder, listens on loopback only and is stopped and removed at the end, whatever
happened. It never touches a cluster that the machine already has.
"""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy import create_engine, text
from sqlalchemy.exc import OperationalError
from sqlalchemy.pool import NullPool

from server.store.schema import metadata
from tests.debian import bring
from tests.live_server import free_port

_USER = "postgres"
_LIMIT_S = 30
# No power cut has to be survived in a test, and nothing else should cost time either.
# A statement that waits for a lock for so long ends its test with words.
_FAST = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "statement_timeout=240s")


def binaries() -> Path | None:
    """Return the folder with initdb and postgres of the newest version that Debian's packages put here, or None."""
    found = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    if found:
        return max(found, key=lambda folder: int(folder.parent.name))
    return Path(path).resolve().parent if (path := shutil.which("initdb")) else None


def bring_postgres() -> bool:
    """Install Debian's package where this process may. Returns whether there is a PostgreSQL now."""
    if binaries() is None:
        bring("postgresql")
    return binaries() is not None


class Cluster:
    """A cluster of its own, in a with statement. `create` gives the URL of a new database in it.

    `safe`: with the settings that a shop has, so that what is measured is what a shop gets.
    """

    def __init__(self, safe: bool = False):
        self._process = self._admin = None
        self._settings = ["max_connections=200", *(() if safe else _FAST)]

    def __enter__(self):
        self._binaries = binaries()
        if self._binaries is None:
            raise RuntimeError(
                "No PostgreSQL found. Run `sh tests/run` as root, which brings it, or install Debian's package"
                " `postgresql`."
            )
        self._folder = Path(tempfile.mkdtemp(prefix="tapermark-pg-"))
        self._port = free_port()
        try:
            self._start()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_):
        if self._admin is not None:
            self._admin.dispose()
        if self._process is not None:
            self._process.send_signal(signal.SIGINT)  # SIGTERM would wait for every client
            try:
                self._process.wait(_LIMIT_S)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait(_LIMIT_S)
        shutil.rmtree(self._folder)

    def _start(self) -> None:
        if os.geteuid() == 0:  # PostgreSQL refuses to run as root
            shutil.chown(self._folder, _USER, _USER)
        data, log = self._folder / "data", self._folder / "log"
        with log.open("w") as out:
            initdb = ["initdb", "-D", data, "-U", _USER, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
            if self._popen(initdb, out).wait(_LIMIT_S) != 0:
                raise RuntimeError(f"initdb failed:\n{log.read_text()}")
            settings = (*self._settings, f"port={self._port}", "listen_addresses=127.0.0.1", "unix_socket_directories=")
            options = [part for setting in settings for part in ("-c", setting)]
            self._process = self._popen(["postgres", "-D", data, *options], out)
        self._admin = create_engine(self.url(_USER), isolation_level="AUTOCOMMIT")
        deadline = time.monotonic() + _LIMIT_S
        while not self._answers():
            if self._process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"postgres did not start:\n{log.read_text()}")
            time.sleep(0.05)

    def _popen(self, command: list, out) -> subprocess.Popen:
        """Run one of PostgreSQL's programs as an ordinary user; it ends when this process ends, however that is."""
        setpriv = ["setpriv", "--pdeathsig=INT"]
        if os.geteuid() == 0:
            setpriv += [f"--reuid={_USER}", f"--regid={_USER}", "--init-groups"]
        return subprocess.Popen(
            [*setpriv, self._binaries / command[0], *command[1:]],
            cwd=self._folder, env=os.environ | {"LC_ALL": "C"}, stdin=subprocess.DEVNULL, stdout=out, stderr=out,
        )  # fmt: skip

    def _answers(self) -> bool:
        try:
            with self._admin.connect():
                return True
        except OperationalError:
            return False

    @property
    def pid(self) -> int:
        return self._process.pid

    def url(self, name: str) -> str:
        return f"postgresql+psycopg://{_USER}@127.0.0.1:{self._port}/{name}"

    def create(self, name: str, template: str = "template0") -> str:
        """Make a database, as a copy of `template`, to which nobody may be connected. Returns its URL."""
        with self._admin.connect() as connection:
            connection.execute(text(f'CREATE DATABASE "{name}" TEMPLATE "{template}"'))
        return self.url(name)

    def drop(self, name: str) -> None:
        with self._admin.connect() as connection:
            connection.execute(text(f'DROP DATABASE "{name}" WITH (FORCE)'))


class FreshAgain:
    """Brings the database at `url` back to what it was when this was made; much faster than a database per test."""

    def __init__(self, url: str):
        self.url = url
        self._names = ["alembic_version", *(f'"{table.name}"' for table in metadata.sorted_tables)]
        self._engine = create_engine(url, poolclass=NullPool, connect_args={"options": "-c lock_timeout=10s"})
        with self._engine.begin() as connection:
            connection.execute(text("CREATE SCHEMA kept"))
            for name in self._names:
                connection.execute(text(f"CREATE TABLE kept.{name} AS TABLE public.{name}"))

    def __call__(self) -> None:
        back = [f"DELETE FROM {name}" for name in reversed(self._names)]
        back += [f"INSERT INTO {name} SELECT * FROM kept.{name}" for name in self._names]
        with self._engine.begin() as connection:
            connection.execute(text("; ".join(back)))


if __name__ == "__main__" and not bring_postgres():
    sys.exit(
        "tests: no PostgreSQL and none could be installed. Install Debian's package `postgresql` (as root),"
        " then run this again."
    )
