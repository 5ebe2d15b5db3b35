"""Desk pages: taking records out as JSON or as a table. What goes out is noted in the audit."""

import io
import tempfile

from flask import g, request, send_file

from server.auth import admission
from server.context import database, now_ms
from server.desk.page import page
from server.desk.words import words
from server.store import audit_lines, settings
from server.transfer.export import export
from server.transfer.export_csv import COLUMNS, FORMS, export_csv
from server.transfer.progress import unheard

blueprint = admission.desk_blueprint("export", __name__, least="office")


_SETTING = "table-form"
# Languages whose countries mostly write 0,5; only what is offered first, until somebody has chosen.
_WITH_DECIMAL_COMMA = ("bg", "cs", "da", "de", "el", "es", "et", "fi", "fr", "hr", "hu", "it", "lt", "lv", "nb", "nl",
                       "pl", "pt", "ro", "ru", "sk", "sl", "sr", "sv", "tr", "uk")  # fmt: skip


@blueprint.get("/export")
def show():
    with database().transaction() as connection:
        form = settings.get(connection, _SETTING)
    language = (request.accept_languages.best or "")[:2]
    usual = "semicolon" if language in _WITH_DECIMAL_COMMA else "comma"
    return page("export.html", columns=COLUMNS, forms=FORMS, form=form if form in FORMS else usual)


@blueprint.post("/export.json")
def take_json():
    """Every job sheet with every entry, as server/transfer/export.py describes it."""
    return _file("json", "application/json", lambda out: export(database(), out, now_ms(), unheard))


@blueprint.post("/export.csv")
def take_csv():
    """One row per round and wheel, as fixtures/schema/export-csv.json describes it. The shop's form is remembered."""
    form = request.form.get("form") if request.form.get("form") in FORMS else "comma"
    with database().transaction() as connection:
        settings.put(connection, _SETTING, form, g.person.name, now_ms())
    return _file("csv", "text/csv; charset=utf-8", lambda out: export_csv(database(), out, form))


def _file(ending: str, media_type: str, write):
    """Write to a file of the system's and send it; the audit line comes first, so that nothing leaves unnoted."""
    name = f"tapermark-{words.server_time(now_ms())[:10]}.{ending}"
    with database().transaction() as connection:
        audit_lines.add(connection, "exported", g.person.name, admission.address(), name, now_ms())
    file = tempfile.TemporaryFile()  # noqa: SIM115  closed by the answer
    text = io.TextIOWrapper(file, encoding="utf-8-sig" if ending == "csv" else "utf-8", newline="")
    write(text)
    text.flush()
    text.detach()
    file.seek(0)
    return send_file(file, mimetype=media_type, as_attachment=True, download_name=name, max_age=0)
