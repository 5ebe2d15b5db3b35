"""Brings a schema up to date by the migrations. Only who has something to migrate loads it: Alembic is large."""

from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Connection

from server.store.database import MIGRATIONS


def upgrade(connection: Connection) -> str | None:
    """Run what is missing, in the connection's transaction. Returns why that cannot be, or None."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, "head")
    except CommandError as error:
        return str(error)
    return None
