"""People of the shop: roles, adding, signing in, changing. No Flask; problems are those of server/web/errors.py.

A sign-in is a random name in the browser's cookie, of which the store keeps the digest: it ends when the person signs
out, changes the password or is deactivated, whatever copies of the cookie there are.
"""

import hashlib
import secrets
import unicodedata
from dataclasses import dataclass

from calc.numbers.checks import shown
from server.auth import passwords, throttle
from server.limits import DAY_MS
from server.store import AlreadyThere, Database, audit_lines, people, sign_in_attempts
from server.web.errors import Problem

ROLES = ("technician", "office", "owner")  # each may do what those before it may
IDLE_MS = 12 * 3600 * 1000  # a sign-in ends after so long without use
LONGEST_MS = 30 * DAY_MS  # and then in any case
_NOTE_SEEN_AFTER_MS = 60_000
_LONGEST_NAME = 80
_CODE_LENGTHS = range(2, 7)


@dataclass(frozen=True)
class Person:
    id: str | None
    name: str
    role: str

    def may(self, least: str) -> bool:
        return ROLES.index(self.role) >= ROLES.index(least)


def key_of(name: str) -> str:
    """Return what two spellings of a name have in common: case and blanks do not matter."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def check_name(name: str) -> str:
    """Return the name as it is kept. Problem: `wrong-name`."""
    clean = " ".join(name.split())
    if not 1 <= len(clean) <= _LONGEST_NAME or not clean.isprintable():
        raise Problem("wrong-name", longest=_LONGEST_NAME, got=shown(clean))
    return clean


def add(database: Database, name: str, role: str, password: str, now_ms: int) -> str:
    """Add a person and return the id. Problems: `wrong-name`, `wrong-role`, `weak-password`, `name-taken`."""
    clean = check_name(name)
    check_role(role)
    passwords.check(password, clean)
    hashed = passwords.hash_of(password)
    try:
        with database.transaction() as connection:
            return people.add(connection, clean, key_of(clean), role, hashed, now_ms)
    except AlreadyThere:
        raise Problem("name-taken", name=clean) from None


def set_phone_code(database: Database, person_id: str, code: str) -> None:
    """Set the digits that a phone asks for when somebody says to be this person; "" asks for none. Problem:
    `wrong-request`.
    """
    if code and not (code.isascii() and code.isdigit() and len(code) in _CODE_LENGTHS):
        expected = f"{_CODE_LENGTHS[0]} to {_CODE_LENGTHS[-1]} digits, or nothing for none"
        raise Problem("wrong-request", field="code", expected=expected, got=shown(code))
    with database.transaction() as connection:
        people.change(connection, person_id, {"phone_code": code_digest(person_id, code) if code else None})


def code_digest(person_id: str, code: str) -> str:
    """Return what a phone compares with. So few digits are soon guessed: it only keeps names from being mixed up."""
    return hashlib.sha256(f"{person_id}:{code}".encode()).hexdigest()[:32]


def check_role(role: str) -> None:
    if role not in ROLES:
        raise Problem("wrong-role", expected=", ".join(ROLES), got=shown(role))


def sign_in(database: Database, name: str, password: str, address: str, now_ms: int) -> str:
    """Return the name of a new sign-in. Problems: `sign-in-failed`, `too-many-tries`."""
    key = key_of(name[: 4 * _LONGEST_NAME])
    attempt = throttle.begin_sign_in(database, key, address, now_ms)
    with database.transaction() as connection:
        row = people.find_by_key(connection, key)
    right = passwords.is_right(password[: passwords.LONGEST + 1], row.password if row else None)
    if not right or row.ended_ms is not None:
        with database.transaction() as connection:
            who = row.name if row else "a name that is not known"  # what was typed may be a password
            audit_lines.add(connection, "sign-in-failed", who, address, "", now_ms)
        raise Problem("sign-in-failed")
    fresh = passwords.hash_of(password) if passwords.is_kept_too_cheaply(row.password) else None
    token = secrets.token_urlsafe(32)
    with database.transaction() as connection:
        sign_in_attempts.note_success(connection, attempt)
        people.forget_old_sign_ins(connection, now_ms - IDLE_MS)
        people.add_sign_in(connection, digest_of(token), row.id, now_ms)
        if fresh:
            people.change(connection, row.id, {"password": fresh})
        audit_lines.add(connection, "signed-in", row.name, address, "", now_ms)
    return token


def digest_of(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def signed_in(database: Database, token: str, now_ms: int) -> Person | None:
    """Return the person of a sign-in that is still good, and note that it is in use."""
    digest = digest_of(token)
    with database.transaction() as connection:
        row = people.signed_in(connection, digest, now_ms, IDLE_MS, LONGEST_MS)
    if row is None:
        return None
    if abs(row.seen_ms - now_ms) > _NOTE_SEEN_AFTER_MS:
        with database.transaction() as connection:
            people.note_seen(connection, digest, now_ms)
    return Person(row.id, row.name, row.role)


def change_password(database: Database, person: Person, token: str, old: str, new: str, address: str, now_ms: int):
    """Change one's own password; every other browser is signed out. Problems as in `sign_in` and `add`."""
    attempt = throttle.begin_sign_in(database, key_of(person.name), address, now_ms)
    with database.transaction() as connection:
        row = people.find(connection, person.id)
    if not passwords.is_right(old[: passwords.LONGEST + 1], row.password):
        raise Problem("old-password-wrong")
    passwords.check(new, person.name)
    hashed = passwords.hash_of(new)
    with database.transaction() as connection:
        sign_in_attempts.note_success(connection, attempt)
        people.change(connection, person.id, {"password": hashed})
        people.end_sign_ins(connection, person.id, but=digest_of(token))
        audit_lines.add(connection, "password-changed", person.name, address, "", now_ms)


def set_password(database: Database, person_id: str, new: str) -> None:
    """Give a person another password; every browser of that person is signed out. Problem: `weak-password`."""
    with database.transaction() as connection:
        row = people.find(connection, person_id)
    passwords.check(new, row.name)
    hashed = passwords.hash_of(new)
    with database.transaction() as connection:
        people.change(connection, person_id, {"password": hashed})
        people.end_sign_ins(connection, person_id)


def change_role(database: Database, person_id: str, role: str) -> None:
    """Problems: `wrong-role`, `last-owner`."""
    check_role(role)
    _change(database, person_id, {"role": role}, stays_owner=role == "owner")


def deactivate(database: Database, person_id: str, now_ms: int) -> None:
    """End a person's access at once. Problem: `last-owner`."""
    _change(database, person_id, {"ended_ms": now_ms}, stays_owner=False)


def reactivate(database: Database, person_id: str) -> None:
    _change(database, person_id, {"ended_ms": None}, stays_owner=True)


def _change(database: Database, person_id: str, changes: dict, stays_owner: bool) -> None:
    """Alone, so that two owners who demote each other at the same moment cannot both succeed."""
    with database.alone() as connection:
        row = people.find(connection, person_id)
        is_owner = row.role == "owner" and row.ended_ms is None
        if is_owner and not stays_owner and people.number_of_owners(connection) < 2:
            raise Problem("last-owner")
        people.change(connection, person_id, changes)
        if changes.get("ended_ms"):
            people.end_sign_ins(connection, person_id)
