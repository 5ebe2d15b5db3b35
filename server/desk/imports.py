"""Desk pages: taking in the file of a phone that could not send, and what became of it."""

import json

from flask import g, redirect, request, url_for

from server import gate
from server.api.bodies import read_json
from server.context import database, now_ms
from server.desk.page import page
from server.errors import Problem
from server.import_file import take_in
from server.import_jobs import as_phone_file
from server.store import imports

blueprint = gate.desk_blueprint("imports", __name__, least="office")
_MOST_SHOWN = 100


@blueprint.get("/import")
def show_all():
    with database().transaction() as connection:
        rows = imports.newest(connection, _MOST_SHOWN)
    return page("imports.html", rows=rows)


@blueprint.post("/import")
def take():
    """Take in a file. Problems: `not-an-export`, `too-large`."""
    file = request.files.get("file")
    if file is None or not file.filename:
        raise Problem("not-an-export", why="no file was chosen")
    try:
        exported = read_json(file.read())
    except Problem as problem:
        raise Problem("not-an-export", why=problem.text.partition(".")[0]) from None
    file_id = take_in(database(), as_phone_file(exported), g.person.name, gate.address(), now_ms())
    return redirect(url_for("imports.show_one", file_id=file_id), 303)


@blueprint.get("/import/<file_id>")
def show_one(file_id: str):
    """What became of each part of a file. Problem: `no-such-import`."""
    with database().transaction() as connection:
        row = imports.find(connection, file_id)
    if row is None:
        raise Problem("no-such-import")
    outcome, left_over = json.loads(row.outcome), json.loads(row.left_over)
    refused = [part for parts in outcome.values() for part in parts if part["verdict"] == "refused"]
    return page("import.html", row=row, counts=_counts(outcome), refused=refused, left_over=_lines(left_over))


def _counts(outcome: dict) -> list[tuple[str, str, int]]:
    """Return (entries or photos, verdict, how many)."""
    counts: dict[tuple[str, str], int] = {}
    for what, parts in outcome.items():
        for part in parts:
            counts[what, part["verdict"]] = counts.get((what, part["verdict"]), 0) + 1
    return [(what, verdict, number) for (what, verdict), number in counts.items()]


def _lines(left_over) -> list[str]:
    parts = left_over if isinstance(left_over, list) else [left_over]
    return [json.dumps(part, ensure_ascii=False, indent=1) for part in parts]
