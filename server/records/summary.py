"""What the lists show of a job and what it is found by, from the fold of its entries. No Flask, no SQL."""

import re
import unicodedata

from server.limits import LONGEST_PLATE
from server.records.entry_rules import is_uuid
from server.records.fold import JOB_KINDS, fold

_DAY = re.compile(r"\d{4}-\d\d-\d\d")


def summary_of(entries: list[dict]) -> dict:
    """Return the derived columns of a job."""
    state = fold(entries)
    plates = values_of(state, "vehicle.registration")
    vehicles, vins = values_of(state, "vehicle.description"), values_of(state, "vehicle.vin")
    days = sorted(e["at"][:10] for e in entries if _DAY.match(e["at"]))
    return {
        "state": state["state"],
        "registration": " / ".join(map(_cut, plates)),
        "registration_keys": _keys(plates),
        "vehicle": " / ".join(vehicles),
        "conflicts": len(state["conflicts"]),
        "vin_keys": _keys(vins),
        "found_by": searchable(" ".join([*plates, *vehicles, *vins, *people_of(entries)])),
        "first_day": days[0] if days else None,
        "last_day": days[-1] if days else None,
    }


def decides_state(entry: dict) -> bool:
    """Tell whether the entry can bring its job into another state: by its kind, or in the own slot of such a one."""
    is_in_slot_of_another = entry["slot"] != entry["id"] and is_uuid(entry["slot"])
    return is_in_slot_of_another or (entry["kind"] in JOB_KINDS and entry["kind"] != "job-opened")


def values_of(state: dict, slot: str) -> list[str]:
    """Return the different texts that a slot's live entries give, in order of id."""
    texts = (e["body"].get("value") for e in state["slots"].get(slot, []) if e["kind"] == "field-set")
    return list(dict.fromkeys(text for text in texts if isinstance(text, str) and text))


def people_of(entries: list[dict]) -> list[str]:
    """Return everybody who worked on the job or gave consent, each once."""
    customers = (e["body"].get("customer") for e in entries if e["kind"] == "consent-recorded")
    named = [*(e["by"] for e in entries), *(name for name in customers if isinstance(name, str))]
    return list(dict.fromkeys(name for name in named if name))


def plate_keys(state: dict, slot: str) -> list[str]:
    """Return the different keys of a registration's or VIN's live values."""
    keys = (registration_key(_cut(text)) for text in values_of(state, slot))
    return list(dict.fromkeys(key for key in keys if key))


def registration_key(registration: str) -> str:
    """Return letters and digits alone, upper case: "ab-12 cd" and "AB12CD" are one vehicle."""
    return "".join(c for c in registration.upper() if c.isalnum())


def searchable(text: str) -> str:
    """Return a text as it is compared: one form of each letter, small."""
    return unicodedata.normalize("NFKC", text).casefold()


def _keys(texts: list[str]) -> str:
    return "".join(f" {registration_key(_cut(text))} " for text in texts)


def _cut(plate: str) -> str:
    """An older program has taken any length, and what is that long is no plate; all of it stands in its entry."""
    return plate if len(plate) <= LONGEST_PLATE else f"{plate[:LONGEST_PLATE]}…"
