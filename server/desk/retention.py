"""Desk pages: how long names, registrations and photos are kept, and erasing them when the time is over or on request.

Nothing is erased by itself: a person presses the button, and the audit says who, which job sheets and why.
"""

from flask import current_app, g, redirect, request, url_for

from server.auth import admission
from server.context import database, now_ms
from server.desk.page import page
from server.desk.sheet.opened_sheet import sheet_of
from server.limits import DAY_MS
from server.store import audit_lines, search, settings, shops
from server.sync.derive import derive_facts
from server.sync.erase import erase_job
from server.web.errors import Problem

blueprint = admission.desk_blueprint("retention", __name__, least="owner")
SETTING = "keeping-days"
MOST_DAYS = 36_500
_AT_ONCE = 100
_LONGEST_REASON = 500


@blueprint.get("/keeping")
def show():
    """The stated time, and how many job sheets are past it."""
    return _page(typed=None, flaw=None)


def _page(typed: str | None, flaw: str | None):
    with database().transaction() as connection:
        days = settings.get(connection, SETTING)
        said = settings.row(connection, SETTING)
        due = search.number_closed_before(connection, _before_ms(days)) if days else 0
        backup = shops.last_backup(connection)
    shown = typed if typed is not None else days or ""
    return page(
        "retention.html", days=days, said=said, due=due, typed=shown, flaw=flaw, at_once=_AT_ONCE, backup=backup
    )


def _before_ms(days: int) -> int:
    return now_ms() - days * DAY_MS


@blueprint.post("/keeping")
def state():
    """State the keeping time in days, or with an empty field that there is none. What was typed stays on the page."""
    typed = request.form.get("days", "").strip()
    is_number = typed.isascii() and typed.isdigit() and 1 <= int(typed[:9]) <= MOST_DAYS
    if typed and not is_number:
        return _page(typed, f"Expected whole days from 1 to {MOST_DAYS}, or nothing; “{typed}” is neither."), 422
    days = int(typed) if typed else None
    with database().transaction() as connection:
        settings.put(connection, SETTING, days, g.person.name, now_ms())
        _note(connection, "keeping-time-set", f"{days} days" if days else "none")
    return redirect(url_for("retention.show"), 303)


def _note(connection, what: str, about: str) -> None:
    audit_lines.add(connection, what, g.person.name, admission.address(), about, now_ms())


@blueprint.post("/keeping/erase-due")
def erase_due():
    """Erase what is past the stated time, some job sheets at once, so that no phone waits long."""
    with database().transaction() as connection:
        days = settings.get(connection, SETTING)
        due = search.closed_before(connection, _before_ms(days), _AT_ONCE) if days else []
    for job in due:
        _erase(job, f"kept for the stated {days} days")
    return redirect(url_for("retention.show"), 303)


@blueprint.get("/jobs/<job>/erase")
def ask(job: str):
    """What erasing takes and leaves, before anybody does it. Error: `no-such-job`."""
    with database().transaction() as connection:
        sheet = sheet_of(connection, job)
    return page("erase.html", sheet=sheet, job=job, longest=_LONGEST_REASON)


@blueprint.post("/jobs/<job>/erase")
def erase(job: str):
    """Erase one job sheet on request. Errors: `no-such-job`, `erase-needs-reason`."""
    reason = request.form.get("reason", "").strip()[:_LONGEST_REASON]
    if not reason or request.form.get("sure") != "yes":
        raise Problem("erase-needs-reason")
    with database().transaction() as connection:
        sheet_of(connection, job)
    _erase(job, reason)
    return redirect(url_for("job_sheets.show_job", job=job), 303)


def _erase(job: str, reason: str) -> None:
    derive_facts(database())  # the pairs that it took stay taken
    with database().transaction() as connection:
        gone = erase_job(connection, job, now_ms())
        _note(connection, "erased", f"job {job}: {gone.entries} entries, {gone.photos} photos; {reason}")
    database().forget_old_pages()
    current_app.logger.info("erased job %s", job)
