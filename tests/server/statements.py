"""Listens to what a piece of work asks of the database, in every thread of this process."""

from contextlib import contextmanager

from sqlalchemy import Engine, event


@contextmanager
def heard():
    """Yield the list of statements so far; SQLite's BEGIN, which PostgreSQL's driver sends unseen, is left out."""
    statements = []

    def hear(_connection, _cursor, statement, *_rest):
        if not statement.startswith("BEGIN"):
            statements.append(statement)

    event.listen(Engine, "before_cursor_execute", hear)
    try:
        yield statements
    finally:
        event.remove(Engine, "before_cursor_execute", hear)
