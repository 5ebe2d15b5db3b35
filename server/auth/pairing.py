"""Pairing a phone by a code that is shown at the desk: made, used once, or gone. It knows no Flask.

Eight of 24 characters that no two people read differently are 36 bits. Wrong tries never kill a code: a stranger could
keep everybody from pairing. They make the address wait that they come from, and all addresses together where too many
fail (server/auth/throttle.py): in a code's ten minutes some 60 guesses pass, of 110 thousand million. The store keeps a
keyed digest: who reads the database reads no code.
"""

import hashlib
import hmac
import secrets

from server.auth import throttle
from server.store import Database, audit_lines, pairing_codes, shops, sign_in_attempts
from server.web.errors import Problem

LETTERS = "34679ACDEFHJKMNPQRTUVWXY"
LENGTH = 8
MINUTES = 10
_LIFE_MS = MINUTES * 60_000


def new_code(database: Database, key: str, phone_name: str, by: str, address: str, now_ms: int) -> str:
    """Make a code for a phone of that name, and return it. It is never shown again."""
    code = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
    with database.transaction() as connection:
        pairing_codes.forget_far(connection, now_ms, _LIFE_MS)
        pairing_codes.add(connection, _digest(key, code), phone_name, by, now_ms)
        audit_lines.add(connection, "pairing-code-made", by, address, phone_name, now_ms)
    return code


def pair(database: Database, key: str, typed: str, former: str | None, address: str, now_ms: int) -> str:
    """Use the code up and return the new pairing's id. `former`, this browser's pairing until now, ends.

    Problems: `pair-code-wrong`, `too-many-tries`.
    """
    attempt = throttle.begin_pairing(database, address, now_ms)
    with database.alone() as connection:
        pairing_codes.forget_far(connection, now_ms, _LIFE_MS)
        used = pairing_codes.use(connection, _digest(key, as_made(typed)), now_ms)
        if used is None:
            audit_lines.add(connection, "pairing-failed", "somebody", address, "", now_ms)
        else:
            sign_in_attempts.note_success(connection, attempt)
            pairing = shops.add_pairing(connection, used.name, now_ms, used.made_by)
            if former is not None:
                shops.end_pairing(connection, former, now_ms)
            audit_lines.add(connection, "paired", used.name, address, f"code made by {used.made_by}", now_ms)
    if used is None:
        raise Problem("pair-code-wrong", minutes=MINUTES)
    return pairing


def as_made(typed: str) -> str:
    """Return a code without what people put into it: lower case, blanks, dashes."""
    return "".join(character for character in typed.upper() if character.isalnum())


def as_shown(code: str) -> str:
    return f"{code[:4]}-{code[4:]}"


def _digest(key: str, code: str) -> str:
    return hmac.new(key.encode(), f"pairing code {code}".encode(), hashlib.sha256).hexdigest()
