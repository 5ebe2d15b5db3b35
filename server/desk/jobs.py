"""Desk pages: finding job sheets, one job sheet with its history and trace, settling two answers in it."""

import json

from flask import current_app, g, redirect, request, url_for

from server.auth import admission
from server.context import database, now_ms
from server.desk.front_page import first_things
from server.desk.job_search import PER_PAGE, STATES, search_from
from server.desk.page import page
from server.desk.sheet.history import Trace, history_of
from server.desk.sheet.job_entries import records_of
from server.desk.sheet.job_summary import Summary
from server.desk.sheet.opened_sheet import sheet_of
from server.desk.sheet.save_entry import write
from server.desk.sheet.sheet import Sheet
from server.desk.words import words
from server.desk.words.texts import texts_of
from server.limits import DAY_MS, OPEN_TOO_LONG_MS
from server.records.fold import fold
from server.store import entries, search, shops
from server.sync.derive import derive_due, derive_facts
from server.web.errors import Problem
from server.web.health import notice_of

blueprint = admission.desk_blueprint("job_sheets", __name__)
_MOST_BEFORE = 20
_MOST_LEFT_OPEN = 20
_MOST_OPEN = 30
_MOST_KEYS = 20  # that differ: each is one more thing to look for


@blueprint.get("/")
def list_jobs():
    """Job sheets, the newest change first, above them the open ones that nobody closes. `?find=`, `state`, `from`, `to`
    narrow them down, `page` turns over.
    """
    asked = search_from(request.args)
    derive_due(database())
    derive_facts(database())
    with database().transaction() as connection:
        rows, total = search.find(connection, asked.wanted, (asked.page - 1) * PER_PAGE, PER_PAGE)
        glance = _glance(connection) if asked.is_empty and asked.page == 1 else None
    pages = -(-total // PER_PAGE)
    notice = notice_of(database())
    return page(
        "jobs.html", jobs=rows, total=total, pages=pages, asked=asked, states=STATES, notice=notice, glance=glance
    )  # fmt: skip


def _glance(connection) -> dict:
    """Return what the front page has above the list: what needs somebody first, and the open jobs."""
    is_demo, store = shops.shop_row(connection).demo, current_app.config["STORE_FOLDER"]
    left_open, left = _left_open(connection)
    return {
        "things": first_things(connection, store, g.person, is_demo, now_ms()),
        "left_open": left_open, "left": left,
        "open_jobs": [_at_work(row) for row in search.open_jobs(connection, _MOST_OPEN)],
        "number_open": search.number_open(connection),
    }  # fmt: skip


def _at_work(row: dict) -> dict:
    """An open job with where it stands: sheet and person of its last entry, and how long ago that came."""
    last = json.loads(row["last_raw"]) if row["last_raw"] else {}
    about = (last.get("body") or {}).get("about") if last.get("kind") == "photo-attached" else last.get("slot")
    texts = texts_of(current_app.config["PWA_FOLDER"])
    sheet = texts.sheet_of(about) if isinstance(about, str) else ""
    if last.get("kind") == "job-opened":
        sheet = texts.sheet_of("vehicle.registration")
    return row | {"sheet": sheet, "by": last.get("by"), "ago": words.ago(now_ms() - row["changed_ms"])}


def _left_open(connection) -> tuple[list[dict], int]:
    """Return (the open jobs that nothing has come for, each with its `days` and `by`, who wrote last; how many)."""
    now = now_ms()
    rows, number = search.open_since_before(connection, now - OPEN_TOO_LONG_MS, _MOST_LEFT_OPEN)
    for row in rows:
        last = json.loads(row["last_raw"]) if row["last_raw"] else {}
        row |= {"days": (now - row["changed_ms"]) // DAY_MS, "by": last.get("by")}
    return rows, number


@blueprint.get("/jobs/<job>")
def show_job(job: str):
    """One job sheet. Error: `no-such-job`."""
    derive_due(database())
    with database().transaction() as connection:
        sheet = sheet_of(connection, job)
        before = _fitted_before(connection, job)
    summary = Summary(sheet, texts_of(current_app.config["PWA_FOLDER"]))
    return page("job.html", sheet=sheet, summary=summary, before=before, job=job)


def _fitted_before(connection, job: str) -> list[tuple[str, Sheet]]:
    """Return (id, sheet) of this vehicle's other jobs, by registration or VIN, the newest first."""
    row = entries.job_rows(connection, [job])[job]
    keys = row["registration_keys"].split()[:_MOST_KEYS], (row["vin_keys"] or "").split()[:_MOST_KEYS]
    others = [other for other in search.of_vehicle(connection, *keys, _MOST_BEFORE) if other != job]
    return [(other, sheet_of(connection, other)) for other in others]


@blueprint.get("/jobs/<job>/history")
def show_history(job: str):
    """Every entry of the job as it came. Error: `no-such-job`."""
    with database().transaction() as connection:
        sheet = sheet_of(connection, job)
    return page("history.html", sheet=sheet, history=history_of(sheet), job=job)


@blueprint.get("/jobs/<job>/trace")
def show_trace(job: str):
    """Holds, sources, parts, rings and overrides of the job in one view. Error: `no-such-job`."""
    with database().transaction() as connection:
        sheet = sheet_of(connection, job)
    trace = Trace(sheet, texts_of(current_app.config["PWA_FOLDER"]))
    return page("trace.html", sheet=sheet, trace=trace, job=job)


@blueprint.post("/jobs/<job>/settle")
def settle(job: str):
    """Let one of two answers hold: an entry of the desk's own that lists every answer that the person saw.

    Form: `slot`, `seen` (ids, each live answer), `keep` (the id of the one that holds). Errors: `no-such-job`,
    `nothing-to-settle`, `not-kept`.
    """
    slot, seen, keep = request.form.get("slot", ""), request.form.getlist("seen"), request.form.get("keep")
    with database().transaction() as connection:
        entries.take_turn(connection)
        live = fold([record.entry for record in records_of(connection, job)])
        answers = {entry["id"]: entry for entry in live["slots"].get(slot, [])}
        if slot not in live["conflicts"] or keep not in answers or keep not in seen:
            raise Problem("nothing-to-settle")
        after = [entry_id for entry_id in seen if entry_id in answers]
        held = answers[keep]
        write(connection, job, held["kind"], slot, after, held["body"], g.person.name, now_ms())
    return redirect(url_for("job_sheets.show_job", job=job), 303)
