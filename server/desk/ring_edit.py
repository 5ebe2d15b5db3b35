"""Desk pages: making a ring set, and editing one as a new revision. The old revision and its table stay for good."""

import json
import re
from dataclasses import dataclass

import numpy as np
from flask import g, redirect, request, url_for

from calc.choose.choose_input import INDEX_PAIRS_HIGH, RING_SETS_HIGH
from calc.numbers.sides import RINGS
from calc.rings.rings import RingSet
from calc.rings.table import effects_of, table_bytes, table_name
from server.auth import admission
from server.context import database, now_ms
from server.desk.drawings.fit_curve import curves_of
from server.desk.page import page
from server.desk.ring_form.ring_fields import (
    CHOICE_WORDS,
    OF_PAPER,
    OF_SET,
    OWN_OF_EACH_RING,
    PER_RING,
    SOURCES,
    SOURCES_SAY,
)
from server.desk.ring_form.ring_form import SAME, Form, read_form, typed_from, typed_of
from server.desk.ring_form.ring_words import REASONS
from server.store import AlreadyThere, audit_lines, rings
from server.web.errors import Problem

blueprint = admission.desk_blueprint("ring_edit", __name__, least="office")
_LONGEST_ID = 60


@dataclass(frozen=True)
class Target:
    """What a form is for: a new ring set (`newest` None), or the revision after `newest`."""

    newest: dict | None
    others: list[dict]  # the newest revisions of the other ring sets

    @property
    def revision(self) -> int:
        return self.newest["revision"] if self.newest else 0


def _source() -> str:
    source = request.args.get("from", "data")
    return source if source in SOURCES else "data"


def _target(ring_set_id: str | None) -> Target:
    """Problem: `no-such-ring-set`."""
    with database().transaction() as connection:
        rows = rings.newest_of_each(connection)
        newest = rings.revisions(connection, ring_set_id)[:1] if ring_set_id else []
    if ring_set_id and not newest:
        raise Problem("no-such-ring-set")
    return Target(newest[0] if newest else None, [row for row in rows if row["id"] != ring_set_id])


@blueprint.get("/rings/new", defaults={"ring_set_id": None})
@blueprint.get("/rings/<ring_set_id>/edit")
def show(ring_set_id: str | None):
    """The empty form, or the newest revision filled in. `?from=` data, thickness or paper."""
    source, target = _source(), _target(ring_set_id)
    typed = {SAME: "yes"}  # as a rule the two are alike
    if target.newest:
        origin = target.newest["origin"]
        typed = typed_of(target.newest["ring_set"], source)
        if origin and origin["from"] == source:
            typed = typed | origin["typed"] | {"accept": ""}
    return _page(Form(source, typed), target, target.revision)


@blueprint.post("/rings/new", defaults={"ring_set_id": None})
@blueprint.post("/rings/<ring_set_id>/edit")
def work_out(ring_set_id: str | None):
    """Work the form out; with `act` = keep store it as a revision. What does not suit is said beside its field."""
    source, target = _source(), _target(ring_set_id)
    typed = typed_from(source, request.form)
    form = read_form(source, typed, ring_set_id or _new_id(typed["name"], target.others), target.revision + 1)
    seen = request.form.get("revision", "")
    if seen != str(target.revision):
        form.flaws["name"] = (
            f"Somebody has made revision {target.revision} meanwhile. Compare it with what stands here, then send"
            " again: that makes the revision after it."
        )
    elif form.ring_set:
        _check_beside_others(form, target)
    if request.form.get("act") != "keep" or form.flaws or form.ring_set is None or not _is_accepted(form):
        return _page(form, target, target.revision), 422 if form.flaws else 200
    try:
        _keep(form, target)
    except AlreadyThere:
        form.flaws["name"] = "Somebody has kept a revision at the same moment. Look at it, then send again."
        return _page(form, _target(ring_set_id), target.revision), 409
    return redirect(url_for("ring_sets.show_one", ring_set_id=form.ring_set.id), 303)


def _is_accepted(form: Form) -> bool:
    """A measurement that calc does not trust is kept only where a person has ticked that it shall be."""
    if form.reasons and form.typed["accept"] != "yes":
        form.flaws["accept"] = "This measurement is not trustworthy. Mend it, or tick that it is kept as untrusted."
        return False
    return True


def _check_beside_others(form: Form, target: Target) -> None:
    """Refuse what would hinder choosing: a name that another set has, no change at all, too many pairs in all."""
    made, used = form.ring_set, [row for row in target.others if not row["retired"]]
    if made.name.casefold() in {row["name"].casefold() for row in used}:
        form.flaws["name"] = "Another ring set in use has this name: on the phone nobody could tell them apart."
    if target.newest and _is_as_before(form, target.newest):
        form.flaws["name"] = "Nothing is different from the revision in use. Change something, or leave it as it is."
    sets = [made, *(RingSet.from_json(row["ring_set"]) for row in used)]
    pairs = sum(each.inner.marks * each.outer.marks for each in sets)
    if pairs > INDEX_PAIRS_HIGH or len(sets) > RING_SETS_HIGH:
        form.flaws["name"] = (
            f"With this one the sets in use would have {pairs} pairs in {len(sets)} sets; choosing takes at most"
            f" {INDEX_PAIRS_HIGH} in {RING_SETS_HIGH}. Retire a set that is not used any more."
        )


def _is_as_before(form: Form, newest: dict) -> bool:
    """Whether nothing would be new: neither the data nor what is doubted of them."""
    is_alike = _without_revision(form.ring_set.to_json()) == _without_revision(newest["ring_set"])
    return is_alike and (form.source == "data" or rings.doubts_in({"reasons": form.reasons}) == newest["doubts"])


def _without_revision(ring_set: dict) -> dict:
    return ring_set | {"revision": 0}


def _new_id(name: str, others: list[dict]) -> str:
    """Return an id that no ring set has ever had, from the name as far as it goes."""
    stem = re.sub(r"[^a-z0-9]+", "-", name.casefold())[:_LONGEST_ID].strip("-") or "rings"
    taken, number, new = {row["id"] for row in others} | {"new"}, 1, stem
    while new in taken:
        number += 1
        new = f"{stem}-{number}"
    return new


def _keep(form: Form, target: Target) -> None:
    """Store the revision, retired if the one before is. Raises AlreadyThere where another was first."""
    ring_set = form.ring_set.to_json()
    content = table_bytes(form.ring_set)
    origin = {"from": form.source, "typed": form.typed, "reasons": form.reasons or _reasons_left(form, target)}
    made = {"made_ms": now_ms(), "made_by": g.person.name, "origin": json.dumps(origin)}
    made["retired"] = bool(target.newest and target.newest["retired"])
    about = f"{ring_set['id']}, revision {ring_set['revision']}, {SOURCES[form.source].lower()}"
    with database().transaction() as connection:
        audit_lines.add(connection, "ring-set-kept", g.person.name, admission.address(), about, now_ms())
        rings.add(connection, ring_set, table_name(content), content, **made)


def _reasons_left(form: Form, target: Target) -> list[dict]:
    """Return what was doubted of the revision before, where typed data change nothing of what its pairs do.

    So a new name or limit does not make a doubtful measurement look like good data.
    """
    origin = target.newest and target.newest["origin"]
    if form.source != "data" or not origin or not origin["reasons"]:
        return []
    before, now = (effects_of(each) for each in (RingSet.from_json(target.newest["ring_set"]), form.ring_set))
    return origin["reasons"] if all(map(np.array_equal, before, now)) else []


def _page(form: Form, target: Target, revision: int):
    return page(
        "ring-form.html", form=form, newest=target.newest, revision=revision, sources=SOURCES, say=SOURCES_SAY,
        own=OWN_OF_EACH_RING[form.source], of_set=OF_SET, per_ring=PER_RING[form.source],
        of_paper=OF_PAPER if form.source == "paper" else (), ring_names=RINGS,
        curves=curves_of(form.asked, form.report), reasons=REASONS, choice_words=CHOICE_WORDS,
    )  # fmt: skip
