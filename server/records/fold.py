"""What a job sheet says now: a fold over its entries, the same in Python and JavaScript.

Nothing is ordered by a phone's clock, nothing is thrown away, and the entries may come in any order. No Flask, no SQL.
"""

import json

# The kinds of format 1; whatever else comes is kept and shown as unknown.
JOB_KINDS = ("job-opened", "job-stopped", "job-signed", "job-reopened")
OWN_SLOT_KINDS = (*JOB_KINDS, "photo-attached", "note-written")
KINDS = (
    *OWN_SLOT_KINDS,
    "field-set",
    "reading-taken",
    "plan-chosen",
    "consent-recorded",
    "step-done",
    "step-undone",
    "hold-overridden",
)


def fold(entries: list[dict]) -> dict:
    """Return the state of one job from its entries, duplicates by id ignored.

    `slots`: slot -> live entries, those that no other entry of the same slot lists in its `after`; known kinds only,
    though an unknown kind may supersede one.
    `photos`, `notes`: live ones. `signed`, `stopped`: those that no job-reopened lists. `state`: signed, else
    stopped, else open. `conflicts`: slots whose live entries differ. `after_signing`: ids of live entries that no
    signature in force covers. `unknown`: entries of unknown kind. All lists are in order of id.
    """
    ordered = sorted({entry["id"]: entry for entry in reversed(entries)}.values(), key=lambda e: e["id"])
    live = _live(ordered)
    slots: dict[str, list[dict]] = {}
    for entry in live:
        if entry["kind"] in KINDS and entry["kind"] not in OWN_SLOT_KINDS:
            slots.setdefault(entry["slot"], []).append(entry)
    reopened = {i for entry in _of_kind(live, "job-reopened") for i in _listed(entry["body"].get("reopens"))}
    signed = [entry for entry in _of_kind(live, "job-signed") if entry["id"] not in reopened]
    stopped = [entry for entry in _of_kind(live, "job-stopped") if entry["id"] not in reopened]
    return {
        "slots": slots,
        "photos": _of_kind(live, "photo-attached"),
        "notes": _of_kind(live, "note-written"),
        "state": "signed" if signed else "stopped" if stopped else "open",
        "signed": signed,
        "stopped": stopped,
        "conflicts": sorted(slot for slot, entries_there in slots.items() if _differ(entries_there)),
        "after_signing": _after_signing(live, signed),
        "unknown": [entry for entry in ordered if entry["kind"] not in KINDS],
    }


def _of_kind(entries: list[dict], kind: str) -> list[dict]:
    return [entry for entry in entries if entry["kind"] == kind]


def _listed(ids) -> list:
    """An entry of another program may lack a list, or hold something else in its place."""
    return [i for i in ids if isinstance(i, str)] if isinstance(ids, list) else []


def _live(ordered: list[dict]) -> list[dict]:
    # `after` counts only within one slot, so the slot is part of what is superseded
    superseded = {(entry["slot"], i) for entry in ordered for i in _listed(entry["after"]) if i != entry["id"]}
    return [entry for entry in ordered if (entry["slot"], entry["id"]) not in superseded]


def _differ(entries: list[dict]) -> bool:
    return len({(entry["kind"], canonical(_said(entry))) for entry in entries}) > 1


def _said(entry: dict):
    """A field says the same wherever its answer was taken from."""
    body = entry["body"]
    if entry["kind"] != "field-set" or not isinstance(body, dict):
        return body
    return {name: part for name, part in body.items() if name != "from"}


def canonical(part) -> str:
    """Return JSON that is equal for equal meaning: keys sorted, 2.0 written as 2, true and 1 kept apart."""
    return json.dumps(_whole(part), sort_keys=True, separators=(",", ":"))


def _whole(part):
    if isinstance(part, float) and part.is_integer():
        return int(part)
    if isinstance(part, dict):
        return {key: _whole(inner) for key, inner in part.items()}
    return [_whole(inner) for inner in part] if isinstance(part, list) else part


def _after_signing(live: list[dict], signed: list[dict]) -> list[str]:
    if not signed:
        return []
    covered = {i for entry in signed for i in _listed(entry["body"].get("covers"))}
    return [entry["id"] for entry in live if entry["kind"] != "job-signed" and entry["id"] not in covered]
