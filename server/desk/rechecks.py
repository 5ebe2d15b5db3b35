"""Desk page: whose fasteners are to be rechecked, the most urgent first; done with one press and a name."""

from flask import g, redirect, request, url_for

from server import shop_time
from server.auth import admission
from server.auth.people import check_name
from server.context import database, now_ms
from server.desk.page import page
from server.desk.sheet.job_entries import records_of
from server.desk.sheet.save_entry import write
from server.records.fold import fold
from server.records.recheck import AFTER, DONE
from server.store import audit_lines, entries, rechecks
from server.sync.derive import derive_due, derive_facts
from server.web.errors import Problem

blueprint = admission.desk_blueprint("rechecks", __name__)
_MOST = 500


@blueprint.get("/rechecks")
def show():
    """What nobody has done yet: by its day, those that have only a distance after."""
    derive_due(database())
    derive_facts(database())
    with database().transaction() as connection:
        rows = rechecks.due(connection, _MOST)
    return page("rechecks.html", rows=rows, today=shop_time.day_of(now_ms()), most=_MOST)


@blueprint.post("/rechecks/<job>/done")
def done(job: str):
    """Keep that it was done, as an entry of the desk's own. Form: `recheck`, the id of the entry that asks for
    it; `by`, a name. Errors: `no-such-job`, `no-such-recheck`, `wrong-name`, `not-kept`.
    """
    asked, name = request.form.get("recheck", ""), check_name(request.form.get("by", ""))
    with database().transaction() as connection:
        entries.take_turn(connection)
        live = fold([record.entry for record in records_of(connection, job)])["slots"]
        if asked not in [entry["id"] for entry in live.get(AFTER, [])]:
            raise Problem("no-such-recheck")
        before = live.get(DONE, [])
        named = {i for entry in before for i in _named(entry)} | {asked}  # whoever did another one did it still
        value = {"recheck_of": sorted(named), "by": name, "day": shop_time.day_of(now_ms())}
        write(connection, job, "field-set", DONE, [e["id"] for e in before], {"value": value}, g.person.name, now_ms())
        audit_lines.add(connection, "recheck-done", g.person.name, admission.address(), f"{job}, by {name}", now_ms())
    return redirect(url_for("rechecks.show"), 303)


def _named(entry: dict) -> list[str]:
    value = entry["body"].get("value")
    named = value.get("recheck_of") if isinstance(value, dict) else None
    return [i for i in named if isinstance(i, str)] if isinstance(named, list) else []
