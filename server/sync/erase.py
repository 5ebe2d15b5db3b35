"""Takes names, registrations and photos out of a job sheet for good, and leaves what was measured and done.

An entry stays as a shell: everything that people wrote in their own words is gone; angles, numbers, answers chosen from
a list, plan, steps and times stay. It cannot reach the phones and the backups that hold the same; the desk says so.
"""

import json
import re
from dataclasses import dataclass
from functools import cache
from itertools import chain
from pathlib import Path

from calc.fit.torque import TORQUE_UNIT_NAMES
from calc.numbers.quantities import SIGN_WORDS
from server.records.checklist import rows_of
from server.records.entry_rules import PLATE_SLOTS, as_kept
from server.records.fold import KINDS
from server.records.picture_reading import WORDS as PICTURE_WORDS
from server.records.picture_reading import is_picture_read
from server.records.summary import summary_of
from server.store import Connection, entries, erasing

# What may stay of the texts in a body; whatever nobody thought of goes. Words that people choose instead of typing:
_CHOSEN = {
    "deg", "deg-min", "mm", "inch", *chain.from_iterable(SIGN_WORDS.values()), "nm", "lbf-ft",
    "at-hand", "not-needed", "to-order", "signed", "in-person", "by-phone", "by-message", "auto",
    "yes", "no", "sensor", "typed", "replaced", "bar", "kpa", "psi", "service-information", "common-practice",
    "looked", "stays", *TORQUE_UNIT_NAMES.values(),
}  # fmt: skip
# Names that programs give, and what each of them looks like
_GIVEN = re.compile(r"[0-9a-f]{64}|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|image/[a-z]+")
_GIVEN_UNDER = ("ring_set", "ring_sets", "put_in", "advice", "about")
# Codes of findings and parts, the letter on a ring, the name of a set of facts: no sentence has that form
_CODES_UNDER = ("doubts", "untrusted", "outcome", "codes", "missing", "needs", "found", "from", "letter")
_CODES_BY_SET = ("doubts", "untrusted")  # ring set -> codes: what a set is called stays under that name anyway
_SLOT_KEYS = {"rings.put-in": "untrusted"}  # fields whose value is as a part of that name in a plan
_CODE = re.compile(r"[a-z]+(-[a-z]+){0,4}|[0-9a-f]{16}|[LR]")
# Numbers as they were typed: "0.33", "1°30'", "31 1/4"
_NUMBER = re.compile(r"[-+−]?\d{1,7}([.,]\d{1,6})?( ?\d{1,3}/\d{1,3})?(° ?(\d{1,2}([.,]\d{1,3})?['′]?)?)?")
_CHECKLIST = Path(__file__).resolve().parents[2] / "pwa" / "checklist.json"


@dataclass(frozen=True)
class Erased:
    """How much was taken out."""

    entries: int
    photos: int


@cache
def _words() -> frozenset[str]:
    """Every text that somebody chose from a list: the checklist's answers and units beside our own."""
    checklist = json.loads(_CHECKLIST.read_text("utf-8"))
    answers = {option["id"] for options in checklist["option_sets"].values() for option in options}
    units = {unit for row in rows_of(checklist) for unit in row.get("units", ())}
    return frozenset(_CHOSEN | answers | units)


def shell_of(entry: dict) -> dict:
    """Return the entry without anything that somebody wrote in his own words, marked `erased`."""
    body = entry["body"]
    if entry["kind"] not in KINDS:
        body = {}  # of a later program: nobody here knows what in it is personal
    elif entry["kind"] == "field-set":  # of a plate nothing stays, not even if it were a number
        key = _SLOT_KEYS.get(entry["slot"], "value")
        body = {"value": None if entry["slot"] in PLATE_SLOTS else _field_without_text(body["value"], key)}
    else:
        body = {key: _without_text(part, key, _words()) for key, part in body.items()}
    return entry | {"by": "", "body": body, "erased": True}


def _field_without_text(value, key: str):
    """A number may be a part of an answer; one that stands alone as text may be anything, such as a telephone's."""
    if isinstance(value, str):
        return value if value in _words() else None
    # its codes are words of the trade too, which could be a name anywhere else
    return _without_text(value, key, _words() | set(PICTURE_WORDS) if is_picture_read(value) else _words())


def _without_text(part, key: str, words: frozenset[str]):
    if isinstance(part, dict):
        inside = key if key in _CODES_BY_SET else None
        return {name: _without_text(inner, inside or name, words) for name, inner in part.items()}
    if isinstance(part, list):
        return [_without_text(inner, key, words) for inner in part]
    stays = not isinstance(part, str) or key in _GIVEN_UNDER or part in words
    stays = stays or (key in _CODES_UNDER and _CODE.fullmatch(part) is not None)
    return part if stays or _GIVEN.fullmatch(part) or _NUMBER.fullmatch(part) else ""


def erase_job(connection: Connection, job: str, now_ms: int) -> Erased:
    """Erase one job. The transaction must not have read or written yet: it takes the writers' turn first."""
    _, last_line = entries.take_places(connection, 0, 1)
    shells = {row.id: shell_of(json.loads(row.raw)) for row in erasing.contents_of_job(connection, job)}
    photos = erasing.photos_of_job(connection, job)
    changes = summary_of(list(shells.values())) | {"changed_ms": now_ms, "line_at": last_line + 1}
    erasing.put_shells(connection, job, {key: as_kept(shell) for key, shell in shells.items()}, changes, now_ms)
    erasing.empty_what_was_set_aside(connection, job)
    return Erased(len(shells), erasing.remove_unnamed_photos(connection, photos))
