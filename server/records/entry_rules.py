"""The rules of taking entries: a ladder that answers each one with a verdict and a reason. No Flask, no SQL.

A phone's clock refuses nothing, an unknown kind or format is parked whole, and only what can never be stored as it is
gets refused, so that one poison entry leaves the others alone.
"""

import hashlib
import json
import math
import re
from dataclasses import dataclass

from calc.numbers.sides import SIDES
from server.limits import DEEPEST_ENTRY, LARGEST_ENTRY, LONGEST_PLATE
from server.records.fold import KINDS, OWN_SLOT_KINDS
from server.records.picture_reading import SLOT as PICTURE_SLOT
from server.records.picture_reading import is_picture_read

FORMAT = 1
MOST_AFTER = 1_000
MOST_TABLES = 200  # of one plan: each of the shop's ring sets has one
PLATE_SLOTS = ("vehicle.registration", "vehicle.vin")
_LARGEST_N = 2**53 - 1  # the largest whole number that JavaScript holds exactly
# RFC 9562 version 4, as pwa/js/domain/job/ids.js wants it: a phone would drop any other id when it comes back to it.
_UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_SHA256 = re.compile(r"[0-9a-f]{64}")
# A lone surrogate is no character, and NUL is one that PostgreSQL cannot keep.
_NO_TEXT = re.compile("[\0\ud800-\udfff]")
# What stands in JSON for any of these and for a number that is not finite, or is a text that only looks so.
_MAYBE_A_FLAW = re.compile(r"\\u(?:0000|d[89a-f])|NaN|Infinity")
# ISO 8601 with a zone; four digits of a year or more, because a phone's clock may say anything.
_TIME = re.compile(r"[+-]?\d{4,6}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)")

_as_it_came = json.JSONEncoder(separators=(",", ":")).encode  # made once: an encoder costs as much as an entry
_in_order = json.JSONEncoder(sort_keys=True, separators=(",", ":")).encode

# reason -> what the technician reads; the phone shows it with the refused entry
REASONS = {
    "not-an-object": "is not an object",
    "too-large": f"is larger than {LARGEST_ENTRY} bytes",
    "too-deep": f"is nested deeper than {DEEPEST_ENTRY} levels",
    "not-text": "holds characters that are no text, or a number that is not finite",
    "bad-field": "has a field that is not what it must be",
    "id-reused": "has the id of another entry with other content; both are kept, the first one counts",
    "erased": "was erased at the desk on request; it is not taken again",
    "unknown-table": "names a ring set's table that this server does not have; it is kept whole, and its plan with it",
    "unknown-kind": "is of a kind that this server does not know yet; it is kept whole",
    "unknown-format": "is of a format that this server does not know yet; it is kept whole for a later one",
}


@dataclass(frozen=True)
class Verdict:
    """`verdict`: accepted, already, refused or parked. `reason`: a key of REASONS, or None. `text`: for a person."""

    verdict: str
    reason: str | None = None
    text: str | None = None


def refused(reason: str, detail: str | None = None) -> Verdict:
    text = f"The entry {REASONS[reason]}" + (f": {detail}" if detail else "")
    return Verdict("refused", reason, f"{text}.")


def parked(reason: str) -> Verdict:
    return Verdict("parked", reason, f"The entry {REASONS[reason]}.")


def judge(entry, raw: str | None = None) -> Verdict:
    """Return what one entry deserves by itself, before it is compared with what the store holds. `raw`: `as_kept`."""
    if not isinstance(entry, dict):
        return refused("not-an-object")
    raw = as_kept(entry) if raw is None else raw
    if not _is_plainly_sound(raw) and (flaw := _flaw_of_content(entry)) is not None:
        return refused(flaw)
    if len(raw) > LARGEST_ENTRY:
        return refused("too-large")
    entry_format = entry.get("format")
    if is_whole(entry_format, FORMAT + 1) and is_uuid(entry.get("id")):
        return parked("unknown-format")
    detail = _bad_field(entry, _ENVELOPE)
    if detail is None and entry["kind"] not in KINDS:
        return parked("unknown-kind")
    if detail is None:
        detail = _bad_slot(entry) or _bad_field(entry["body"], _rules_of(entry), "body.")
    return Verdict("accepted") if detail is None else refused("bad-field", detail)


def compare(digest: str, held_digest: str, erased: bool) -> Verdict:
    """Return the verdict on an entry whose id the store already holds."""
    if erased:
        return refused("erased")
    return Verdict("already") if digest == held_digest else refused("id-reused")


def as_kept(entry) -> str:
    """Return the entry as JSON in the order it came, all beyond ASCII escaped, so that any store keeps it."""
    return _as_it_came(entry)


def digest_of(entry) -> str:
    """Return the SHA-256 of the content, the same whatever the order of the keys."""
    return hashlib.sha256(_in_order(entry).encode()).hexdigest()


def photo_of(entry: dict) -> str | None:
    """Return the SHA-256 of the photo that an accepted entry wants, or None."""
    return entry["body"]["sha256"] if entry["kind"] == "photo-attached" else None


def tables_of(entry: dict) -> set[str]:
    """Return the names of the tables that an accepted plan was chosen from; other entries name none."""
    return set(entry["body"].get("tables", {}).values()) if entry["kind"] == "plan-chosen" else set()


def is_uuid(part) -> bool:
    return isinstance(part, str) and _UUID.fullmatch(part) is not None


def is_sha256(part) -> bool:
    return isinstance(part, str) and _SHA256.fullmatch(part) is not None


def is_whole(part, low: int, high: int = _LARGEST_N) -> bool:
    return isinstance(part, int) and not isinstance(part, bool) and low <= part <= high


def _is_plainly_sound(raw: str) -> bool:
    """Tell of most entries at one glance that `_flaw_of_content` would find nothing; of the others it is no word."""
    return raw.count("{") + raw.count("[") <= DEEPEST_ENTRY and _MAYBE_A_FLAW.search(raw) is None


def _flaw_of_content(part, depth: int = 1) -> str | None:
    """Look at every text and number, however deep; no recursion beyond what an entry may have."""
    if depth > DEEPEST_ENTRY:
        return "too-deep"
    if isinstance(part, str):
        return "not-text" if _NO_TEXT.search(part) else None
    if isinstance(part, float):
        return None if math.isfinite(part) else "not-text"
    if isinstance(part, dict):
        inner = [*part.keys(), *part.values()]
    elif isinstance(part, list):
        inner = part
    else:
        return None
    flaws = (_flaw_of_content(each, depth + 1) for each in inner)
    return next((flaw for flaw in flaws if flaw), None)


def _text(longest: int):
    return f"text of at most {longest} characters", lambda part: isinstance(part, str) and len(part) <= longest


def _list_of(what: str, check, most: int):
    return (
        f"a list of at most {most} {what}",
        lambda part: isinstance(part, list) and len(part) <= most and all(check(each) for each in part),
    )


def _or_null(rule):
    return f"{rule[0]}, or null", lambda part: part is None or rule[1](part)


def _is_angle(part) -> bool:
    return isinstance(part, dict) and is_whole(part.get("mdeg"), -360_000, 360_000)


def _is_pair_of_whole(part) -> bool:
    return isinstance(part, list) and len(part) == 2 and all(is_whole(each, -_LARGEST_N) for each in part)


def _is_fitted(part) -> bool:
    is_set = isinstance(part, dict) and isinstance(part.get("ring_set"), str)
    return part is None or (is_set and _is_pair_of_whole(part.get("pair")) and _is_pair_of_whole(part.get("effect")))


def _is_plan(part) -> bool:
    """What desk and phones read of a plan is there; whatever else choosing says is kept as it comes."""
    if not isinstance(part, dict) or not {*SIDES, "predicted", "chance"} <= part.keys():
        return False
    predicted, chance = part["predicted"], part["chance"]
    return (
        _is_fitted(part["left"])
        and _is_fitted(part["right"])
        and isinstance(predicted, dict)
        and all(_is_pair_of_whole(predicted.get(side)) for side in SIDES)
        and isinstance(chance, int | float)
        and 0 <= chance <= 1
    )


_ID = ("a UUID of version 4 in lower case", is_uuid)
_IDS = _list_of("UUIDs of version 4", is_uuid, MOST_AFTER)
_MANY_IDS = _list_of("UUIDs of version 4", is_uuid, 100_000)
_TABLES = (
    f"an object of at most {MOST_TABLES} SHA-256 in lower case",
    lambda part: isinstance(part, dict) and len(part) <= MOST_TABLES and all(map(is_sha256, part.values())),
)
_OBJECT = ("an object", lambda part: isinstance(part, dict))
_WHOLE = ("a whole number from 1", lambda part: is_whole(part, 1))
_ANGLE = ("an angle in whole millidegrees, or null", lambda part: part is None or _is_angle(part))
_NOTE = _text(20_000)
_PLATE = (
    f"at most {LONGEST_PLATE} characters",
    lambda part: not isinstance(part, str) or len(part) <= LONGEST_PLATE,
)

_PICTURE_READ = (
    "touches on a picture and what they said, or null",
    lambda part: part is None or is_picture_read(part),
)

# field -> (what is expected, the check). Fields beyond these are kept as they come.
_ENVELOPE = {
    "format": (str(FORMAT), lambda part: is_whole(part, FORMAT, FORMAT)),
    "id": _ID,
    "job": _ID,
    "device": _ID,
    "n": _WHOLE,
    "at": ("a time in ISO 8601 with its zone", lambda part: isinstance(part, str) and bool(_TIME.fullmatch(part))),
    "by": _text(200),
    "kind": ("1 to 60 characters", lambda part: isinstance(part, str) and 1 <= len(part) <= 60),
    "slot": ("1 to 120 characters", lambda part: isinstance(part, str) and 1 <= len(part) <= 120),
    "after": _IDS,
    "body": _OBJECT,
}

_BODIES = {
    "job-opened": {},
    "job-stopped": {"reason": _NOTE},
    "job-signed": {"covers": _MANY_IDS},
    "job-reopened": {"reopens": _IDS},
    "note-written": {"text": _NOTE},
    "photo-attached": {
        "sha256": ("a SHA-256 in lower case", is_sha256),
        "about": _or_null(_text(120)),
    },
    "field-set": {"value": ("a value or null", lambda _part: True)},
    "reading-taken": {"camber": _ANGLE, "toe": _ANGLE},
    "plan-chosen": {"plan": ("one plan as choose gives it", _is_plan), "input": _OBJECT},
    "consent-recorded": {},
    "step-done": {},
    "step-undone": {},
    "hold-overridden": {"reason": _NOTE},
}


def _bad_field(part: dict, rules: dict, where: str = "") -> str | None:
    for field, (expected, holds) in rules.items():
        if field not in part:
            return f"{where}{field}: expected {expected}, got nothing"
        if not holds(part[field]):
            return f"{where}{field}: expected {expected}, got {_shown(part[field])}"
    return None


def _rules_of(entry: dict) -> dict:
    """What is searched by has a length that a search can bear; what phones fetch by its name is a name."""
    if entry["kind"] == "field-set" and entry["slot"] in PLATE_SLOTS:
        return {"value": _PLATE}
    if entry["kind"] == "field-set" and PICTURE_SLOT.fullmatch(entry["slot"]):
        return {"value": _PICTURE_READ}
    names_tables = entry["kind"] == "plan-chosen" and "tables" in entry["body"]
    return _BODIES[entry["kind"]] | ({"tables": _TABLES} if names_tables else {})


def _bad_slot(entry: dict) -> str | None:
    if entry["kind"] in OWN_SLOT_KINDS and entry["slot"] != entry["id"]:
        return f"slot: expected the entry's own id, got {_shown(entry['slot'])}"
    return None


def _shown(part) -> str:
    text = json.dumps(part)
    return text if len(text) <= 60 else text[:59] + "…"
