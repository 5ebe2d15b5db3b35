"""People and the browsers in which they are signed in. Every function takes a connection in a transaction.

A person is never removed, because entries and audit lines name them; ending one ends every sign-in.
"""

import uuid

from sqlalchemy import Connection, and_, delete, func, insert, select, update

from server.store.schema import person, sign_in


def add(connection: Connection, name: str, name_key: str, role: str, password: str, now_ms: int) -> str:
    """Add a person and return the id. Raises AlreadyThere where the name is taken."""
    new = str(uuid.uuid4())
    row = {"id": new, "name": name, "name_key": name_key, "role": role, "password": password, "made_ms": now_ms}
    connection.execute(insert(person).values(**row))
    return new


def find(connection: Connection, person_id: str):
    return connection.execute(select(person).where(person.c.id == person_id)).one_or_none()


def find_by_key(connection: Connection, name_key: str):
    return connection.execute(select(person).where(person.c.name_key == name_key)).one_or_none()


def everybody(connection: Connection) -> list:
    """Return all people, those who may sign in first, by name."""
    return list(connection.execute(select(person).order_by(person.c.ended_ms.is_not(None), person.c.name_key)))


def number_of_owners(connection: Connection) -> int:
    """Return how many owners may sign in."""
    owners = select(func.count()).where(person.c.role == "owner", person.c.ended_ms.is_(None))
    return connection.scalar(owners)


def change(connection: Connection, person_id: str, changes: dict) -> None:
    connection.execute(update(person).where(person.c.id == person_id).values(**changes))


def add_sign_in(connection: Connection, digest: str, person_id: str, now_ms: int) -> None:
    connection.execute(insert(sign_in).values(digest=digest, person=person_id, made_ms=now_ms, seen_ms=now_ms))


def signed_in(connection: Connection, digest: str, now_ms: int, idle_ms: int, longest_ms: int):
    """Return (id, name, role, seen_ms) of the person of a sign-in that is still good, or None.

    Good is one that was made and seen within these times of now, before or behind: a clock may have been set back.
    """
    query = (
        select(person.c.id, person.c.name, person.c.role, sign_in.c.seen_ms)
        .join(sign_in, sign_in.c.person == person.c.id)
        .where(
            sign_in.c.digest == digest,
            sign_in.c.seen_ms.between(now_ms - idle_ms + 1, now_ms + idle_ms - 1),
            sign_in.c.made_ms.between(now_ms - longest_ms + 1, now_ms + longest_ms - 1),
            person.c.ended_ms.is_(None),
        )
    )
    return connection.execute(query).one_or_none()


def note_seen(connection: Connection, digest: str, now_ms: int) -> None:
    connection.execute(update(sign_in).where(sign_in.c.digest == digest).values(seen_ms=now_ms))


def end_sign_in(connection: Connection, digest: str) -> None:
    connection.execute(delete(sign_in).where(sign_in.c.digest == digest))


def end_sign_ins(connection: Connection, person_id: str, but: str | None = None) -> None:
    """End every sign-in of a person, but the one of that digest."""
    connection.execute(delete(sign_in).where(and_(sign_in.c.person == person_id, sign_in.c.digest != (but or ""))))


def forget_old_sign_ins(connection: Connection, before_ms: int) -> None:
    connection.execute(delete(sign_in).where(sign_in.c.seen_ms < before_ms))
