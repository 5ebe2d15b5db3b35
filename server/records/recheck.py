"""What a signed job says of rechecking its fasteners: after which distance or by which day, and who did it. No SQL.

Slot `finish.recheck-after`, a field-set: {"recheck": {"distance": {"number", "text", "unit": "km" | "mi"} | null,
"day": "2026-12-24" | null, "source": "service-information" | "common-practice", "page": text}}; null: none is wanted.
`number` is the longest of a distance that is typed as a range. Slot `finish.recheck-done`: {"recheck_of": [ids of those
field-sets], "by": name, "day": the day}; null takes it back. The twin of pwa/js/domain/job/rechecks.js, bound to it by
fixtures/golden/recheck.json.
"""

import json
import math
import re

AFTER, DONE = "finish.recheck-after", "finish.recheck-done"
SOURCES = {"service-information": "service information", "common-practice": "common practice, no source"}
UNITS = ("km", "mi")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LONGEST, _LONGEST_DISTANCE = 200, 40


def rechecks_of(fold: dict) -> list[dict]:
    """Return a row for every live answer of a signed job, for where two people differ both are due; else none."""
    return [
        {"number": number, "entry": each["entry"], "due_day": each["day"], "distance": _after(each["distance"]),
         "source": _source(each), "parts": json.dumps({name: each[name] for name in ("distance", "source", "page")}),
         "done_by": each["done_by"]}
        for number, each in recheck_parts(fold)
    ]  # fmt: skip


def recheck_parts(fold: dict) -> list[tuple[int, dict]]:
    """Return (its place among the answers, {"entry", "day", "distance", "source", "page", "done_by"}) of each;
    `distance` as in `_distance`, None where it is not given or cannot be read.
    """
    if fold["state"] != "signed":
        return []
    slots, done = fold["slots"], {}
    for _, value in _values(slots, DONE):
        named = value.get("recheck_of")
        done |= dict.fromkeys((i for i in named if isinstance(i, str)) if isinstance(named, list) else (), value)
    odometer = next((value for _, value in _values(slots, "vehicle.odometer")), {})
    return [
        (number, {"entry": entry["id"], **_parts(value["recheck"], odometer), **_done(done.get(entry["id"]))})
        for number, (entry, value) in enumerate(_values(slots, AFTER))
        if isinstance(value.get("recheck"), dict)
    ]


def _values(slots: dict, slot: str) -> list[tuple[dict, dict]]:
    live = [entry for entry in slots.get(slot, []) if entry["kind"] == "field-set"]
    return [(entry, entry["body"]["value"]) for entry in live if isinstance(entry["body"]["value"], dict)]


def _parts(recheck: dict, odometer: dict) -> dict:
    day, source, page = recheck.get("day"), recheck.get("source"), recheck.get("page")
    return {
        "day": day if isinstance(day, str) and _DAY.fullmatch(day) else None,
        "distance": _distance(recheck.get("distance"), odometer),
        "source": source if isinstance(source, str) and source in SOURCES else None,
        "page": page[:_LONGEST] if isinstance(page, str) else "",
    }


def _distance(distance, odometer: dict) -> dict | None:
    """Return {"text", "unit", "by"}, `by` what the odometer reads then, if it was read in the same unit."""
    if not isinstance(distance, dict) or not isinstance(distance.get("text"), str) or distance.get("unit") not in UNITS:
        return None
    number, at = distance.get("number"), odometer.get("number")
    is_same = odometer.get("unit") == distance["unit"] and _is_number(number) and _is_number(at)
    by = math.floor(at + number + 0.5) if is_same else None
    return {"text": distance["text"][:_LONGEST_DISTANCE], "unit": distance["unit"], "by": by}


def _after(distance: dict | None) -> str:
    """Return such as "after 80 km, by 99390 km"."""
    if distance is None:
        return ""
    said = f"after {distance['text']} {distance['unit']}"
    return said if distance["by"] is None else f"{said}, by {distance['by']} {distance['unit']}"


def distance_words(distance) -> str:
    """Return such as "after 80 km" of what was typed; "" where it cannot be read."""
    return _after(_distance(distance, {}))


def _source(parts: dict) -> str:
    words = SOURCES.get(parts["source"], "no source given")
    return f"{words}, {parts['page']}" if parts["page"] else words


def _done(value: dict | None) -> dict:
    by = value.get("by") if value else None
    return {"done_by": (by[:_LONGEST] if isinstance(by, str) and by else "nobody named") if value else None}


def _is_number(part) -> bool:
    return isinstance(part, int | float) and not isinstance(part, bool) and abs(part) < 1e9
