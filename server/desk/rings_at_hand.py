"""Desk page: rings at hand. Pairs of each ring set by place; the desk adds, moves and counts, signed jobs take."""

from flask import g, redirect, request, url_for

from server.auth import admission
from server.auth.people import check_name
from server.context import database, now_ms
from server.desk.page import page
from server.store import audit_lines, entries, rings, rings_at_hand
from server.sync.derive import derive_facts
from server.web.errors import Problem

blueprint = admission.desk_blueprint("at_hand", __name__)
office_blueprint = admission.desk_blueprint("at_hand_changes", __name__, least="office")
_MOST_PAIRS, _MOST_MOVES, _MOST_PLACES = 10_000, 50, 100
WHAT = {"added": "added", "counted": "counted", "moved": "moved"}


@blueprint.get("/at-hand")
def show():
    """Ring sets in use and whatever has a count, by place."""
    return _page()


def _page(typed: dict | None = None, flaw: str = ""):
    derive_facts(database())
    with database().transaction() as connection:
        places, counts = rings_at_hand.places(connection), rings_at_hand.counts(connection)
        moves = rings_at_hand.newest_moves(connection, _MOST_MOVES)
        nowhere = rings_at_hand.taken_from_nowhere(connection)
        sets = rings.newest_of_each(connection)
    names = {row["id"]: row["name"] for row in sets}
    counted = {ring_set for _, ring_set in counts}
    shown = [row["id"] for row in sets if not row["retired"] or row["id"] in counted] + sorted(counted - names.keys())
    return page(
        "at-hand.html", places=places, counts=counts, moves=moves, nowhere=nowhere, names=names, sets=shown,
        used=[row for row in places if not row["retired"]], what=WHAT, typed=typed or {}, flaw=flaw,
        place_names={row["id"]: row["name"] for row in places},
        wrong=[(where, ring_set) for (where, ring_set), pairs in sorted(counts.items()) if pairs < 0],
    )  # fmt: skip


@office_blueprint.post("/at-hand/places")
def add_place():
    """A store, a van. Errors: `wrong-name`, `wrong-request`."""
    name = check_name(request.form.get("name", ""))
    with database().transaction() as connection:
        entries.take_turn(connection)
        places = rings_at_hand.places(connection)
        if name.casefold() in {row["name"].casefold() for row in places} or len(places) >= _MOST_PLACES:
            expected = f"a name that no other place has, of {_MOST_PLACES} places at most"
            raise Problem("wrong-request", field="name", expected=expected, got=name)
        rings_at_hand.add_place(connection, name)
        _note(connection, "place-added", name)
    return redirect(url_for("at_hand.show"), 303)


@office_blueprint.post("/at-hand/places/<place>/retire")
def retire_place(place: str):
    """Offer it to no phone any more; its counts stay. Error: `no-such-place`."""
    return _set_retired(place, True)


@office_blueprint.post("/at-hand/places/<place>/bring-back")
def bring_place_back(place: str):
    """Error: `no-such-place`."""
    return _set_retired(place, False)


def _set_retired(place: str, retired: bool):
    with database().transaction() as connection:
        if not rings_at_hand.set_retired(connection, place, retired):
            raise Problem("no-such-place")
        _note(connection, "place-retired" if retired else "place-brought-back", place)
    return redirect(url_for("at_hand.show"), 303)


@office_blueprint.post("/at-hand")
def change():
    """Add pairs to a place, say how many somebody counted there, or move some to another place.

    Form: `ring_set`, `place`, `pairs`, `act` (added, counted or moved), `to`. Errors: `no-such-place`,
    `no-such-ring-set`.
    """
    typed = {name: request.form.get(name, "").strip() for name in ("ring_set", "place", "pairs", "act", "to")}
    pairs, flaw = _pairs_of(typed)
    if flaw:
        return _page(typed, flaw), 422
    derive_facts(database())
    with database().transaction() as connection:
        seq = entries.take_turn(connection)
        known = {row["id"] for row in rings_at_hand.places(connection) if not row["retired"]}
        if typed["place"] not in known or (typed["act"] == "moved" and typed["to"] not in known):
            raise Problem("no-such-place")
        if not rings.revisions(connection, typed["ring_set"]):
            raise Problem("no-such-ring-set")
        there = rings_at_hand.counts(connection).get((typed["place"], typed["ring_set"]), 0)
        row = {"ring_set": typed["ring_set"], "what": typed["act"], "at_ms": now_ms(), "by": g.person.name, "seq": seq}
        steps = {"added": [(typed["place"], pairs)], "counted": [(typed["place"], pairs - there)],
                 "moved": [(typed["place"], -pairs), (typed["to"], pairs)]}[typed["act"]]  # fmt: skip
        for where, by in steps:
            rings_at_hand.add_move(connection, row | {"place": where, "pairs": by})
        _note(connection, f"rings-{typed['act']}", f"{typed['ring_set']}: {pairs} pairs, {typed['place']}")
    return redirect(url_for("at_hand.show"), 303)


def _pairs_of(typed: dict) -> tuple[int, str]:
    """Return (pairs, what is wrong)."""
    text, least = typed["pairs"], 0 if typed["act"] == "counted" else 1
    is_number = text.isascii() and text.isdigit() and len(text) < 8 and least <= int(text) <= _MOST_PAIRS
    if typed["act"] not in WHAT:
        return 0, "Say whether they were added, counted or moved."
    if not is_number:
        return 0, f"“{text[:20]}” is no number of pairs: expected {least} to {_MOST_PAIRS}."
    if typed["act"] == "moved" and typed["to"] == typed["place"]:
        return 0, "They were moved from a place to itself: choose where they are now."
    return int(text), ""


def _note(connection, what: str, about: str) -> None:
    audit_lines.add(connection, what, g.person.name, admission.address(), about, now_ms())
