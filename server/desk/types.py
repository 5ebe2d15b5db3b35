"""Desk pages: vehicle types. A lead accepts what jobs propose, edits, merges, retires; every change is a revision."""

import hashlib
import json
import uuid
from dataclasses import dataclass

from flask import current_app, g, redirect, request, url_for

from server.auth import admission
from server.context import database, now_ms
from server.desk.page import page
from server.desk.words.texts import texts_of
from server.desk.words.type_words import PartWords
from server.records.vehicle_types import agrees, content, differing, edited, match_key
from server.store import AlreadyThere, audit_lines, entries, types
from server.sync.derive import derive_due, derive_facts
from server.web.errors import Problem

blueprint = admission.desk_blueprint("vehicle_types", __name__)
lead_blueprint = admission.desk_blueprint("type_decisions", __name__, least="office")
_MOST_CANDIDATES = 6
_MOST_PROPOSALS = _MOST_CANDIDATES - 1  # beside the type that is known
LEAVE = "none"  # a part that nobody's answer is taken for


@dataclass
class Choice:
    """One part as the candidates have it, and what the person took: the place of a candidate, or LEAVE."""

    key: str
    said: list  # per candidate, None: it says nothing of it
    is_agreed: bool
    taken: str


@dataclass
class Form:
    """Candidates side by side. `kept`: make, model and years as typed."""

    candidates: list[dict]
    kept: dict[str, str]
    choices: list[Choice]
    seen: str
    flaw: str = ""

    @property
    def entries(self) -> list[str]:
        return [each["entry"] for each in self.candidates if "entry" in each]

    @property
    def known(self) -> list[dict]:
        return [each for each in self.candidates if "entry" not in each]


@blueprint.get("/types/")
def show_all():
    """Every type in its newest revision, and what jobs propose, together where they are of one make and model."""
    derive_due(database())
    derive_facts(database())
    with database().transaction() as connection:
        rows, pending = types.newest_of_each(connection), types.pending(connection)
    groups: dict[str, list[dict]] = {}
    for row in pending:
        groups.setdefault(row["match"], []).append(row)
    used = {row["match"]: row for row in rows if row["state"] == "accepted"}
    shown = [
        {"proposals": rows_there[:_MOST_PROPOSALS], "known": used.get(match), "more": len(rows_there) > _MOST_PROPOSALS,
         "apart": _apart([r["type"] for r in rows_there] + ([used[match]["body"]] if match in used else []))}
        for match, rows_there in groups.items()
    ]  # fmt: skip
    return page("types.html", groups=shown, rows=rows)


def _apart(bodies: list[dict]) -> int:
    return sum(not agrees(said) for said in differing(bodies).values())


@blueprint.get("/types/<type_id>")
def show_one(type_id: str):
    """One type: its parts, its revisions, and the jobs that took facts from it. Error: `no-such-type`."""
    derive_due(database())
    derive_facts(database())
    with database().transaction() as connection:
        revisions, users = types.revisions(connection, type_id), types.users(connection, type_id)
        others = [row for row in types.newest_of_each(connection) if row["id"] != type_id]
    if not revisions:
        raise Problem("no-such-type")
    others = [row for row in others if row["state"] == "accepted"]
    return page("type.html", newest=revisions[0], revisions=revisions, users=users, others=others, say=_words())


@lead_blueprint.get("/types/decide")
def choose():
    """Proposals (`?entry=`) and types (`?type=`) side by side. Errors: `no-such-type`, `no-such-proposal`."""
    derive_facts(database())
    with database().transaction() as connection:
        form = _form(connection, request.args.getlist("entry"), request.args.getlist("type"), None)
    return _page(form)


@lead_blueprint.post("/types/decide")
def decide():
    """Keep what was chosen as a revision of the first type, or as a new type; with `act` = refuse, keep nothing.

    Form: `entry`, `type`, `seen`, make, model, from, to, and for each part `part.<n>` with its `text.<n>.<name>`.
    Errors: `no-such-type`, `no-such-proposal`.
    """
    with database().transaction() as connection:
        entries.take_turn(connection)
        form = _form(connection, request.form.getlist("entry"), request.form.getlist("type"), request.form)
        if request.form.get("seen") != form.seen:
            form.flaw = "Somebody has changed one of these meanwhile. Look at what stands here now, then send again."
        elif request.form.get("act") == "refuse":
            _refuse(connection, form)
            return redirect(url_for("vehicle_types.show_all"), 303)
        else:
            body, form.flaw = _chosen(form)
        if not form.flaw:
            try:
                kept = _keep(connection, form, body)
            except AlreadyThere as already:
                raise Problem("no-such-proposal") from already
            return redirect(url_for("vehicle_types.show_one", type_id=kept), 303)
    return _page(form), 422


def _form(connection, entry_ids: list[str], type_ids: list[str], typed) -> Form:
    proposals = types.pending(connection, entry_ids[:_MOST_CANDIDATES]) if entry_ids else []
    if len(proposals) != len(set(entry_ids)) or len(entry_ids) + len(type_ids) > _MOST_CANDIDATES:
        raise Problem("no-such-proposal")
    known = [next(iter(types.revisions(connection, type_id)), None) for type_id in dict.fromkeys(type_ids)]
    if None in known or not (known or proposals):
        raise Problem("no-such-type")
    known = [row | {"type": row["body"]} for row in known]
    candidates = [*known, *proposals]
    seen = hashlib.sha256(json.dumps([content(each["type"]) for each in candidates]).encode()).hexdigest()
    first = candidates[0]["type"]
    years = ["" if year is None else str(year) for year in first["years"]]
    kept = {"make": first["make"], "model": first["model"], "from": years[0], "to": years[1]}
    if typed is not None:
        kept = {name: " ".join(typed.get(name, "").split())[:80] for name in kept}
    parts = differing([each["type"] for each in candidates])
    choices = [_choice(number, key, said, typed) for number, (key, said) in enumerate(parts.items())]
    return Form(candidates, kept, choices, seen)


def _choice(number: int, key: str, said: list, typed) -> Choice:
    """Where all say the same, that is taken unless somebody takes it out; where they differ a person must say."""
    first = next(str(place) for place, part in enumerate(said) if part is not None)
    is_agreed = agrees(said)
    taken = (first if is_agreed else "") if typed is None else typed.get(f"part.{number}", "")
    is_place = taken.isascii() and taken.isdigit() and len(taken) < 3
    is_one = taken == LEAVE or (is_place and int(taken) < len(said) and said[int(taken)] is not None)
    return Choice(key, said, is_agreed, taken if is_one else "")


def _chosen(form: Form) -> tuple[dict, str]:
    """Return (the type that was chosen, what is wrong)."""
    years = [form.kept[name] for name in ("from", "to")]
    if not form.kept["make"] or not form.kept["model"]:
        return {}, "A type has a make and a model. Type both."
    if any(year and not (year.isascii() and year.isdigit() and 1900 <= int(year) <= 2200) for year in years):
        return {}, "Years are numbers such as 2018, or empty where nobody knows, or where it is still made."
    open_choices = sum(not choice.taken for choice in form.choices)
    if open_choices:
        return {}, f"Of {open_choices} part{'s' if open_choices != 1 else ''} nobody has said which answer holds."
    parts = {}
    for number, choice in enumerate(form.choices):
        if choice.taken != LEAVE:
            texts = {name: request.form.get(f"text.{number}.{name}") for name in PartWords.EDITED}
            kept = edited(choice.said[int(choice.taken)], texts)
            if kept is None:
                return (
                    {},
                    "A window needs its four keys and a source, a torque a grade and a source; one of them is empty.",
                )
            parts[choice.key] = kept
    named = {"make": form.kept["make"], "model": form.kept["model"], "axle": "rear"}
    return named | {"years": [int(year) if year else None for year in years], "parts": _rekeyed(parts)}, ""


def _rekeyed(parts: dict) -> dict:
    """An edited edition or grade belongs under another key."""
    return {PartWords.key_of(key, part): part for key, part in parts.items()}


def _keep(connection, form: Form, body: dict) -> str:
    """Store the revision, what became of the proposals, and that the other types are merged into it; return its id."""
    target = form.known[0] if form.known else None
    row = {
        "id": target["id"] if target else str(uuid.uuid4()), "revision": target["revision"] + 1 if target else 1,
        "state": "accepted", "match": match_key(body), "body": body, "merged_into": None,
        "jobs": sorted({each["job"] for each in form.candidates if "entry" in each}),
        "made_ms": now_ms(), "made_by": g.person.name,
    }  # fmt: skip
    types.add(connection, row)
    for other in form.known[1:]:
        changed = {"revision": other["revision"] + 1, "state": "merged", "merged_into": row["id"], "jobs": []}
        types.add(connection, _row_of(other) | changed | {"made_ms": now_ms(), "made_by": g.person.name})
    made = {"what": "accepted", "type": row["id"], "revision": row["revision"], "at_ms": now_ms(), "by": g.person.name}
    types.decide(connection, form.entries, made)
    _note(connection, "type-merged" if len(form.known) > 1 else "type-kept", row)
    return row["id"]


def _refuse(connection, form: Form) -> None:
    made = {"what": "refused", "type": None, "revision": None, "at_ms": now_ms(), "by": g.person.name}
    types.decide(connection, form.entries, made)
    for each in form.candidates:
        if "entry" in each:
            audit_lines.add(connection, "type-refused", g.person.name, admission.address(), each["entry"], now_ms())


@lead_blueprint.post("/types/<type_id>/retire")
def retire(type_id: str):
    """Offer it to no new job; jobs that took from it stay. Error: `no-such-type`."""
    return _set_state(type_id, "retired")


@lead_blueprint.post("/types/<type_id>/bring-back")
def bring_back(type_id: str):
    """Error: `no-such-type`."""
    return _set_state(type_id, "accepted")


def _set_state(type_id: str, state: str):
    with database().transaction() as connection:
        entries.take_turn(connection)
        newest = next(iter(types.revisions(connection, type_id)), None)
        if newest is None:
            raise Problem("no-such-type")
        if newest["state"] != state:
            row = _row_of(newest) | {
                "revision": newest["revision"] + 1,
                "state": state,
                "merged_into": None,
                "jobs": [],
            }
            row |= {"made_ms": now_ms(), "made_by": g.person.name}
            types.add(connection, row)
            _note(connection, "type-retired" if state == "retired" else "type-brought-back", row)
    return redirect(url_for("vehicle_types.show_one", type_id=type_id), 303)


def _row_of(row: dict) -> dict:
    names = ("id", "revision", "state", "match", "body", "jobs", "merged_into", "made_ms", "made_by")
    return {name: row[name] for name in names}


def _note(connection, what: str, row: dict) -> None:
    about = f"{row['body']['make']} {row['body']['model']}, revision {row['revision']}, {row['id']}"
    audit_lines.add(connection, what, g.person.name, admission.address(), about, now_ms())


def _words() -> PartWords:
    return PartWords(texts_of(current_app.config["PWA_FOLDER"]))


def _page(form: Form):
    return page("type-decide.html", form=form, say=_words(), leave=LEAVE)
