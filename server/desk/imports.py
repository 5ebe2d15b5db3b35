"""Desk pages: taking in the file of a phone that could not send, and what became of it."""

import json

from flask import g, redirect, request, url_for

from server.auth import admission
from server.context import database, now_ms
from server.desk.page import page
from server.limits import LARGEST_IMPORT
from server.store import imports
from server.transfer.import_file import counts_of, read_file, refused_of, take_in
from server.web.errors import MEGABYTE, Problem

blueprint = admission.desk_blueprint("imports", __name__, least="office")
_MOST_SHOWN = 100


@blueprint.get("/import")
def show_all():
    with database().transaction() as connection:
        rows = imports.newest(connection, _MOST_SHOWN)
    return page("imports.html", rows=rows, most_mb=LARGEST_IMPORT // MEGABYTE)


@blueprint.post("/import")
def take():
    """Take in a file. Problems: `not-an-export`, `too-large`."""
    file = request.files.get("file")
    if file is None or not file.filename:
        raise Problem("not-an-export", why="no file was chosen")
    file_id = take_in(database(), read_file(file.read()), g.person.name, admission.address(), now_ms())
    return redirect(url_for("imports.show_one", file_id=file_id), 303)


@blueprint.get("/import/<file_id>")
def show_one(file_id: str):
    """What became of each part of a file. Problem: `no-such-import`."""
    with database().transaction() as connection:
        row = imports.find(connection, file_id)
    if row is None:
        raise Problem("no-such-import")
    outcome, left_over = json.loads(row.outcome), json.loads(row.left_over)
    counts, refused = counts_of(outcome), refused_of(outcome)
    lines = _lines(left_over)
    return page("import.html", row=row, counts=counts, refused=refused, left_over=lines, is_finished=bool(outcome))


def _lines(left_over) -> list[str]:
    parts = left_over if isinstance(left_over, list) else [left_over]
    return [json.dumps(part, ensure_ascii=False, indent=1) for part in parts]
