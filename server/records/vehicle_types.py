"""What a vehicle type may hold, and what of a proposal is left out: the rules of what is never carried. No SQL.

A type is of a make, model, years and axle. Its parts are kept by flat keys, so that two proposals are compared, chosen
from and merged part by part: `fact/<slot>`, `usual/<slot>`, `window/<slot>/<suspension>/<drive>/<wheels>/<edition>`,
`torque/<slot>/<grade>`. What no rule here allows is left out, and said; nothing is guessed in its place.
"""

import json
import re

from server.records.entry_rules import is_uuid, is_whole
from server.records.fold import canonical
from server.records.summary import searchable
from server.records.type_values import (
    LONGEST,
    bolts_of,
    edges_of,
    inner_of,
    is_angle,
    is_mm,
    length_of,
    lugs_of,
    text_of,
    torque_of,
)  # fmt: skip

PROPOSED = "finish.vehicle-type"
_AGEING = ("window/", "torque/")
KEYS = ("suspension", "drive", "wheels", "edition")  # under which windows and heights hold
_NAMES = {"make": 60, "model": 80}
_MOST_PARTS = 200
_CHOICES = {
    "vehicle.mounting": ("bolt-on-unit", "bolt-on-stub", "one-piece", "driven"),
    "vehicle.ring-place": ("inboard-of-plate", "outboard-of-plate", "no-plate", "hub-to-wheel"),
    "vehicle.axle-nut": ("no", "yes"),
    "vehicle.sensor": ("none", "with-hub", "on-axle"),
    "vehicle.pilot": ("no-pilot",),  # that one is centred is a verdict on a stack
}
_USUAL = {
    "vehicle.high-voltage": ("no", "yes"), "vehicle.parking-brake": ("cable", "electric"),
    "vehicle.suspension": ("steel", "air"), "vehicle.rear-brake": ("drum", "disc", "disc-drum"),
    "vehicle.caliper-bracket": ("outboard-of-ear", "moves-with-hub", "inboard-of-ear"),
}  # fmt: skip
_LENGTHS = (
    "vehicle.pilot-diameter", "vehicle.pilot-length", "vehicle.flange-bore", "vehicle.flange-diameter",
    "vehicle.sensor-gap-most",
)  # fmt: skip
_WINDOWS = (
    *(f"window.{side}.{angle}" for side in ("left", "right") for angle in ("camber", "toe")), "window.total-toe",
    "window.thrust", "window.cross-camber",
)  # fmt: skip
_HEIGHTS = ("vehicle.ride-height-left", "vehicle.ride-height-right")
_TORQUES = ("fit.torque", "torque.caliper", "torque.bracket", "torque.wheel", "torque.axle-nut")
_NEVER = {
    "vehicle.arch-gap", "vehicle.tyre-size", "vehicle.tyre-radius", "vehicle.sensor-gap", "vehicle.sensor-gap-now",
    "vehicle.pressures-found", "vehicle.driven-allowed", "vehicle.can-rings-go-in", "vehicle.pair-fitted",
}  # fmt: skip
# What of a card's facts is kept; the rest is measured at each vehicle, or is the shop's.
_KEPT = {
    "vehicle.bolts": ("bolts", {"at", "thread", "class", "metal"}, "engagement and length of the hub bolts"),
    "vehicle.bracket-lugs": ("bracket", {"lugs"}, "engagement and spacers of the bracket lugs"),
}
# Where a part was replaced or repaired in the job that proposes, nothing of it is carried.
_OF_HUB = ("vehicle.mounting", "vehicle.pilot", "vehicle.pilot-diameter", "vehicle.pilot-length", "vehicle.sensor",
           "vehicle.sensor-gap-most")  # fmt: skip
_OF_AXLE = ("vehicle.flange-bore", "vehicle.flange-diameter", "vehicle.ring-place", "vehicle.bolts",
            "vehicle.bracket-lugs")  # fmt: skip

NEVER = "is never carried: it is answered at each vehicle"
UNKNOWN = "is nothing that a type holds"
BAD = "is not as a type holds it"
REPLACED = "is of a part that was replaced or repaired in this job"
NO_KEYS = "holds only with suspension code, drive, wheel size and edition, and one of them is missing"
NO_GRADE = "holds only with the grade of its bolt, and none is given"


def proposal_of(value, replaced: frozenset[str] = frozenset(), day: str | None = None) -> dict | None:
    """Return what a job proposes: `{"base": {"type", "revision"} | None, "type": ..., "left_out": [[what, why]]}`; None
    where it names no vehicle. `replaced`: hub, axle or springs. `day`: when it was looked up, kept with
    windows and torques, because those age.
    """
    if not isinstance(value, dict) or not isinstance(value.get("type"), dict):
        return None
    given, left_out = value["type"], []
    named = {name: text_of(given.get(name), longest) for name, longest in _NAMES.items()}
    if None in named.values():
        return None
    parts = {}
    for key, part, flaw in _read(given):
        flaw = flaw or (REPLACED if _is_gone(key, replaced) else None)
        if flaw:
            left_out.append([key.partition("/")[2] or key, flaw])
        elif len(parts) < _MOST_PARTS:
            parts[key] = part | {"day": day} if key.startswith(_AGEING) else part
    left_out += [[what, NEVER] for what in _more_than_kept(given.get("facts"))]
    return {
        "base": _base(value.get("of")), "left_out": left_out,
        "type": {**named, "years": _years(given.get("years")), "axle": "rear", "parts": parts},
    }  # fmt: skip


def _more_than_kept(facts) -> list[str]:
    found = []
    for slot, (name, kept, what) in _KEPT.items() if isinstance(facts, dict) else ():
        inner = inner_of(facts.get(slot), name)
        if inner is not None and (inner.keys() | facts[slot].keys()) - {*kept, name}:
            found.append(what)
    return found


def _is_gone(key: str, replaced: frozenset[str]) -> bool:
    what, _, slot = key.partition("/")
    is_height = what == "window" and slot.startswith(_HEIGHTS)
    of_hub, of_axle = slot in _OF_HUB and "hub" in replaced, slot in _OF_AXLE and "axle" in replaced
    return (is_height and "springs" in replaced) or (what == "fact" and (of_hub or of_axle))


def _read(given: dict):
    """Yield (key, part as it is kept, why it is left out or None) of all that a proposal holds."""
    yield from ((name, None, UNKNOWN) for name in given.keys() - {*_NAMES, *_LISTS, "years", "axle"})
    for name, read in _LISTS.items():
        yield from read(given.get(name))


def _facts(facts):
    for slot, value in facts.items() if isinstance(facts, dict) else ():
        part, flaw = _fact(slot, value)
        yield f"fact/{slot[:LONGEST]}", part, flaw


def _fact(slot: str, value) -> tuple:
    if slot in _CHOICES:
        is_verdict = slot == "vehicle.pilot" and value not in _CHOICES[slot]
        return (value, None) if value in _CHOICES[slot] else (None, NEVER if is_verdict else BAD)
    if slot in _LENGTHS:
        return (length_of(value), None) if length_of(value) else (None, BAD)
    if slot == "vehicle.bolts":
        kept = bolts_of(value)
        return (kept, None) if kept else (None, BAD)
    if slot == "vehicle.bracket-lugs":
        kept = lugs_of(value)
        return (kept, None) if kept else (None, BAD)
    return None, NEVER if slot in _NEVER or slot in _USUAL else UNKNOWN


def _usual(usual):
    for slot, value in usual.items() if isinstance(usual, dict) else ():
        flaw = None if value in _USUAL.get(slot, ()) else BAD if slot in _USUAL else NEVER
        yield f"usual/{slot[:LONGEST]}", value, flaw


def _windows(windows):
    for given in windows if isinstance(windows, list) else ():
        if not isinstance(given, dict) or not isinstance(given.get("slot"), str):
            yield "window", None, BAD
            continue
        slot, texts = given["slot"][:LONGEST], [text_of(given.get(key), LONGEST) for key in KEYS]
        value = edges_of(given.get("value"), is_mm if slot in _HEIGHTS else is_angle)
        is_known, source = slot in (*_WINDOWS, *_HEIGHTS), text_of(given.get("source"), LONGEST)
        flaw = UNKNOWN if not is_known else NO_KEYS if None in texts else None if value and source else BAD
        part = {"slot": slot, **dict(zip(KEYS, texts, strict=True)), "source": source, "value": value}
        yield "/".join(["window", slot, *(searchable(text or "") for text in texts)]), part, flaw


def _torques(torques):
    for given in torques if isinstance(torques, list) else ():
        if not isinstance(given, dict) or not isinstance(given.get("slot"), str):
            yield "torque", None, BAD
            continue
        slot, grade, value = given["slot"][:LONGEST], text_of(given.get("grade"), 20), torque_of(given.get("value"))
        flaw = UNKNOWN if slot not in _TORQUES else NO_GRADE if grade is None else None if value else BAD
        yield f"torque/{slot}/{searchable(grade or '')}", {"slot": slot, "grade": grade, "value": value}, flaw


_LISTS = {"facts": _facts, "usual": _usual, "windows": _windows, "torques": _torques}


def _base(of) -> dict | None:
    is_known = isinstance(of, dict) and is_uuid(of.get("type")) and is_whole(of.get("revision"), 0, 2**31 - 1)
    return {"type": of["type"], "revision": of["revision"]} if is_known else None


def _years(years) -> list[int | None]:
    """[first, last]; null: not known, or still made."""
    is_pair = isinstance(years, list) and len(years) == 2
    return [year if is_whole(year, 1900, 2200) else None for year in years] if is_pair else [None, None]


def match_key(of_type: dict) -> str:
    """Return what two proposals of one type have in common, however the make and model were typed."""
    plain = re.sub(r"[\W_]+", "", searchable(of_type["make"])), re.sub(r"[\W_]+", "", searchable(of_type["model"]))
    return "/".join([*plain, of_type["axle"]])[:LONGEST]


def differing(types: list[dict]) -> dict[str, list]:
    """Return, for every part of any of them, what each says of it (None: nothing), the parts in order of their keys."""
    keys = sorted({key for each in types for key in each["parts"]})
    return {key: [each["parts"].get(key) for each in types] for key in keys}


def agrees(said: list) -> bool:
    """Tell whether all that say anything of a part say the same."""
    return len({canonical(_dayless(part)) for part in said if part is not None}) <= 1


def _dayless(part):
    return {name: inner for name, inner in part.items() if name != "day"} if isinstance(part, dict) else part


def content(of_type: dict) -> str:
    """Return a type as JSON of one form, so that equal ones are equal."""
    return json.dumps(of_type, sort_keys=True, separators=(",", ":"))


def replaced_in(numbers) -> frozenset[str]:
    """Return which of hub, axle and springs were replaced or repaired in a job. `numbers`: its JobNumbers."""
    used = numbers.field("fit.parts-used")
    hub = (isinstance(used, dict) and "bearing" in used) or numbers.field("vehicle.bearings") == "repaired"
    said = {"hub": hub, "axle": numbers.field("vehicle.structure") == "repaired",
            "springs": numbers.field("vehicle.bushes-springs") == "repaired"}  # fmt: skip
    return frozenset(part for part, is_so in said.items() if is_so)


def proposals_of(fold: dict, numbers) -> list[dict]:
    """Return the rows of what a signed job proposes; where two people differ, of each answer."""
    live = fold["slots"].get(PROPOSED, []) if fold["state"] == "signed" else []
    rows, replaced = [], replaced_in(numbers)
    for entry in live:
        value = entry["body"].get("value") if entry["kind"] == "field-set" else None
        proposal = proposal_of(value, replaced, entry["at"][:10])
        if proposal:
            row = {"entry": entry["id"], "match": match_key(proposal["type"]), "body": json.dumps(proposal)}
            rows.append(row | {"number": len(rows), "made_by": entry["by"][:LONGEST]})
    return rows


def uses_of(fold: dict) -> list[dict]:
    """Return the revisions of types from which facts of the job were entered: `from` of a field-set's body."""
    bodies = [entry["body"] for live in fold["slots"].values() for entry in live if entry["kind"] == "field-set"]
    named = {(base["type"], base["revision"]) for body in bodies if (base := _base(body.get("from")))}
    return [{"type": name, "revision": revision} for name, revision in sorted(named)]


def key_of(key: str, part) -> str:
    """Return the key under which a part belongs, from what stands in it."""
    if key.startswith("window/"):
        return "/".join(["window", part["slot"], *(searchable(part[name]) for name in KEYS)])
    return f"torque/{part['slot']}/{searchable(part['grade'])}" if key.startswith("torque/") else key


def edited(part, texts: dict[str, str | None]):
    """Return a part with mended texts, None where one of them is empty. `texts`: None where nothing was typed."""
    if not isinstance(part, dict) or "slot" not in part:
        return part
    given = {name: text_of(text, LONGEST) for name, text in texts.items() if text is not None}
    own = {name: given[name] for name in (*KEYS, "source", "grade") if name in given and name in part}
    if "grade" in part and "source" in given:
        own["value"] = part["value"] | {"source": given["source"]}
    is_whole_still = None not in own.values() and own.get("value", {"source": ""})["source"] is not None
    return part | own if is_whole_still else None
