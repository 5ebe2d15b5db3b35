"""Opens the database, brings it up to date, and hands out transactions. It knows no table.

Every connection starts its transaction explicitly: SQLite's own driver would leave reads outside of one, and two
reads of one page could then see two states.
"""

from contextlib import contextmanager, suppress
from pathlib import Path
from time import monotonic

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.exc import DBAPIError, DisconnectionError

from server.store.files import create_private
from server.store.photo_files import PhotoFiles, beside

MIGRATIONS = Path(__file__).resolve().parent.parent / "migrations"
_WAIT_FOR_WRITER_MS = 30_000
# Every thread of the server may wait for the counter at once, and each holds a connection while it does.
_CONNECTIONS = 32
# The other end may be gone after such a rest; asking each time costs a quiet pull a twelfth of its time.
_REST_S = 1.0
_START_LOCK = 0x7A9E_2A4C  # any number of ours: two programs that start at once on PostgreSQL take turns by it


class Unreachable(Exception):
    """The database cannot be opened; the text says why and what to do, for people."""


class NewerStore(Unreachable):
    """The schema is of a revision that this program does not know: it must not write there."""


class Database:
    """One database for the life of the program. `url` is SQLAlchemy's."""

    def __init__(self, url: str):
        self._engine = create_engine(url, pool_size=_CONNECTIONS, max_overflow=0, hide_parameters=True)
        if self._engine.dialect.name == "sqlite":
            _prepare_sqlite(self._engine)
        else:
            _ping_after_a_rest(self._engine)

    @classmethod
    def of_file(cls, path: Path) -> "Database":
        """Open a SQLite file."""
        return cls(f"sqlite:///{path.as_posix()}")

    @property
    def sqlite_file(self) -> Path | None:
        """Where the data lie if the database is SQLite's, else None."""
        return Path(self._engine.url.database) if self._engine.dialect.name == "sqlite" else None

    @property
    def photo_files(self) -> PhotoFiles | None:
        """Where pictures lie if the database is SQLite's; else they lie in it."""
        return beside(self.sqlite_file) if self.sqlite_file is not None else None

    @property
    def shown(self) -> str:
        """The address for people, without its password."""
        return str(self.sqlite_file or self._engine.url)

    def migrate(self) -> None:
        """Bring the schema up to date; a second call changes nothing. Raises NewerStore."""
        if self.sqlite_file is not None:
            with suppress(FileExistsError, FileNotFoundError):  # a missing folder is told by opening
                create_private(self.sqlite_file)
        with self.alone() as connection:
            if _revision_in(connection) == _newest_revision():
                return
            from server.store.migrating import upgrade

            if trouble := upgrade(connection):
                raise NewerStore(
                    f"{self.shown} comes from a newer program ({trouble}). Use that program; nothing was changed."
                )

    def revisions(self) -> tuple[str | None, str]:
        """Return (the schema's revision, the one that this program brings); the first is None in an empty database."""
        with self.transaction() as connection:
            return _revision_in(connection), _newest_revision()

    @contextmanager
    def transaction(self):
        """Yield a connection; commit at the end, roll back when anything is raised.

        A writer must begin with its write (the entries take the counter's lock): on SQLite a transaction that has
        read before it writes is refused when another one wrote in between. On PostgreSQL the isolation is READ
        COMMITTED, so that whoever waited for the counter then sees what the one before has committed.
        """
        with self._connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def alone(self):
        """A transaction beside which no other of its sort runs, even in another process: for starting up."""
        with self._connect() as connection:
            connection = connection.execution_options(begin="BEGIN IMMEDIATE")
            with connection.begin():
                if self.sqlite_file is None:
                    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _START_LOCK})
                yield connection

    @contextmanager
    def snapshot(self):
        """A transaction for reading in which nothing that others write becomes visible."""
        with self._connect() as connection:
            if self.sqlite_file is None:
                options = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
                connection = connection.execution_options(**options)
            with connection.begin():
                yield connection

    def forget_old_pages(self) -> None:
        """After erasing: put all of SQLite's log into the file and empty it, for it holds pages as they were.

        Where somebody reads for longer than a writer waits, the next one or the closing does it. PostgreSQL reuses and
        archives its pages by itself.
        """
        if self.sqlite_file is None:
            return
        connection = self._engine.raw_connection()  # by itself: a checkpoint cannot run in a transaction
        try:
            connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            connection.close()

    def _connect(self) -> Connection:
        try:
            return self._engine.connect()
        except DBAPIError as error:
            raise Unreachable(
                f"The database {self.shown} cannot be opened: {' '.join(str(error.orig).split())} Is it there, does it"
                " run, and may this program use it (TAPERMARK_STORE, DATABASE_URL)? Mend that, then try again."
            ) from error

    def close(self) -> None:
        self._engine.dispose()


def _revision_in(connection: Connection) -> str | None:
    is_empty = not inspect(connection).has_table("alembic_version")
    return None if is_empty else connection.scalar(text("SELECT version_num FROM alembic_version"))


def _newest_revision() -> str:
    """The files of the migrations begin with their revisions, which are numbers in the order of their making."""
    return max(path.name for path in (MIGRATIONS / "versions").glob("*.py")).partition("_")[0]


def _ping_after_a_rest(engine: Engine) -> None:
    """Replace a connection that died while nobody used it, as where the database was started anew."""

    @event.listens_for(engine, "checkin")
    def note(_connection, record):
        record.info["rests_since"] = monotonic()

    @event.listens_for(engine, "checkout")
    def ping(connection, record, _proxy):
        if monotonic() - record.info.get("rests_since", monotonic()) < _REST_S:
            return
        try:
            engine.dialect.do_ping(connection)
        except engine.dialect.loaded_dbapi.Error as error:
            raise DisconnectionError() from error


def _prepare_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def set_pragmas(connection, _record):
        connection.isolation_level = None  # the driver begins nothing by itself
        cursor = connection.cursor()
        # FULL, because "accepted" must outlive a power cut: a phone may drop what the server holds.
        for pragma in (
            f"busy_timeout = {_WAIT_FOR_WRITER_MS}",
            "journal_mode = WAL",
            "synchronous = FULL",
            "foreign_keys = ON",
            "secure_delete = ON",  # what was erased is overwritten, not left in a free page
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection):
        connection.exec_driver_sql(connection.get_execution_options().get("begin", "BEGIN"))
