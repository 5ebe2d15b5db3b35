"""Opens the database, brings it up to date, and hands out transactions. It knows no table.

Every connection starts its transaction explicitly: SQLite's own driver would leave reads outside of one, and two
reads of one page could then see two states.
"""

from contextlib import contextmanager
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, create_engine, event

_MIGRATIONS = Path(__file__).resolve().parent.parent / "migrations"
_WAIT_FOR_WRITER_MS = 30_000


class Database:
    """One database for the life of the program. `url` is SQLAlchemy's."""

    def __init__(self, url: str):
        self._engine = create_engine(url)
        if self._engine.dialect.name == "sqlite":
            _prepare_sqlite(self._engine)

    def migrate(self) -> None:
        """Bring the schema up to date; a second call changes nothing."""
        config = Config()
        config.set_main_option("script_location", str(_MIGRATIONS))
        with self._engine.begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")

    @contextmanager
    def transaction(self):
        """Yield a connection; commit at the end, roll back when anything is raised.

        A writer must begin with its write (the entries take the counter's lock): on SQLite a transaction that has
        read before it writes is refused when another one wrote in between.
        """
        connection: Connection
        with self._engine.begin() as connection:
            yield connection

    def close(self) -> None:
        self._engine.dispose()


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
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection):
        connection.exec_driver_sql("BEGIN")
