"""Desk pages: signing in and out."""

from flask import Blueprint, redirect, request, url_for

from server.auth import admission
from server.desk.page import page
from server.web.errors import Problem, headers_of

blueprint = Blueprint("sign_in", __name__)


@blueprint.get("/sign-in")
def show():
    """The form. `?next=` is where to go afterwards."""
    return page("sign-in.html", next=_own_path(request.args.get("next")), name="", problem=None)


@blueprint.post("/sign-in")
def enter():
    """Sign in, or show the form again with what is wrong."""
    name, onward = request.form.get("name", ""), _own_path(request.form.get("next"))
    try:
        admission.sign_in(name, request.form.get("password", ""))
    except Problem as problem:
        again = page("sign-in.html", next=onward, name=name, problem=problem)
        return again, problem.status, headers_of(problem)
    return redirect(onward, 303)


@blueprint.post("/sign-out")
def leave():
    """End this browser's sign-in, and every copy of its cookie with it."""
    admission.sign_out()
    return redirect(url_for("sign_in.show"), 303)


def _own_path(wanted: str | None) -> str:
    """Return a path of the desk; anything else could lead away from it."""
    start = url_for("job_sheets.list_jobs")
    is_ours = wanted is not None and wanted.startswith(start) and "\\" not in wanted and "//" not in wanted
    return wanted if is_ours and wanted.isprintable() else start
