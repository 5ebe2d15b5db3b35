"""Files taken in at the desk. Every function takes a connection in a transaction."""

from sqlalchemy import Connection, insert, select, update

from server.store.schema import import_file, pairing


def add(connection: Connection, row: dict) -> None:
    connection.execute(insert(import_file).values(**row))


def bind(connection: Connection, pairing_id: str, file_id: str, now_ms: int) -> None:
    """Make a pairing stand for a file; nobody can come in by it."""
    connection.execute(update(pairing).where(pairing.c.id == pairing_id).values(file=file_id, revoked_ms=now_ms))


def set_outcome(connection: Connection, file_id: str, outcome: str) -> None:
    connection.execute(update(import_file).where(import_file.c.id == file_id).values(outcome=outcome))


def find(connection: Connection, file_id: str):
    return connection.execute(select(import_file).where(import_file.c.id == file_id)).one_or_none()


def newest(connection: Connection, most: int) -> list:
    return list(connection.execute(select(import_file).order_by(import_file.c.at_ms.desc()).limit(most)))
