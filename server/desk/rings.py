"""Desk pages: the shop's ring sets, one ring set with its revisions; retiring one and bringing it back."""

from flask import g, redirect, url_for

from server.auth import admission
from server.context import database, now_ms
from server.desk.drawings.fit_curve import curves_of
from server.desk.page import page
from server.desk.ring_form.ring_fields import SOURCES, SOURCES_SAY
from server.desk.ring_form.ring_form import read_form
from server.desk.ring_form.ring_words import REASONS, facts_of
from server.store import audit_lines, rings
from server.web.errors import Problem

blueprint = admission.desk_blueprint("ring_sets", __name__)
office_blueprint = admission.desk_blueprint("ring_retire", __name__, least="office")


@blueprint.get("/rings/")
def show_all():
    """Every ring set in its newest revision, those in use first."""
    with database().transaction() as connection:
        rows = rings.newest_of_each(connection)
    rows.sort(key=lambda row: (row["retired"], row["name"].casefold()))
    shown = [row | {"facts": facts_of(row["ring_set"])} for row in rows]
    return page("rings.html", rows=shown, sources=SOURCES, say=SOURCES_SAY, reasons=REASONS)


@blueprint.get("/rings/<ring_set_id>")
def show_one(ring_set_id: str):
    """One ring set: its data, what they come from, every revision. Error: `no-such-ring-set`."""
    with database().transaction() as connection:
        revisions = rings.revisions(connection, ring_set_id)
    if not revisions:
        raise Problem("no-such-ring-set")
    newest = revisions[0]
    return page(
        "ring-set.html", newest=newest, revisions=revisions, facts=facts_of(newest["ring_set"]),
        sources=SOURCES, reasons=REASONS, **_measurement(newest["origin"]),
    )  # fmt: skip


def _measurement(origin: dict | None) -> dict:
    """Return the measurement behind a revision, worked out again from what was typed, with its drawings."""
    if origin is None or origin["from"] == "data":
        return {"form": None, "curves": []}
    form = read_form(origin["from"], origin["typed"], "shown", 1)
    return {"form": form, "curves": curves_of(form.asked, form.report)}


@office_blueprint.post("/rings/<ring_set_id>/retire")
def retire(ring_set_id: str):
    """Offer it to no new plan; plans that name it, and its tables, stay. Error: `no-such-ring-set`."""
    return _set_retired(ring_set_id, True)


@office_blueprint.post("/rings/<ring_set_id>/bring-back")
def bring_back(ring_set_id: str):
    """Error: `no-such-ring-set`."""
    return _set_retired(ring_set_id, False)


def _set_retired(ring_set_id: str, retired: bool):
    with database().transaction() as connection:
        if not rings.set_retired(connection, ring_set_id, retired):
            raise Problem("no-such-ring-set")
        what = "ring-set-retired" if retired else "ring-set-brought-back"
        audit_lines.add(connection, what, g.person.name, admission.address(), ring_set_id, now_ms())
    return redirect(url_for("ring_sets.show_one", ring_set_id=ring_set_id), 303)
