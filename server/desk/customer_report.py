"""Desk page: the customer's report of a job. The phone's own code writes it in the browser, so that both say the same.

The one page of the desk with a script: what a report may state (signed, confirmed, left open) is decided in
pwa/js/domain/job, and a second writer here would sooner or later tell a customer something else.
"""

from flask import jsonify

from server import letterhead
from server.auth import admission
from server.context import database
from server.desk.page import page
from server.desk.sheet.job_entries import records_of
from server.desk.sheet.opened_sheet import sheet_of
from server.desk.sheet.sheet import Sheet
from server.store import rings, shops

blueprint = admission.desk_blueprint("customer_report", __name__)


@blueprint.get("/jobs/<job>/report")
def show(job: str):
    """Error: `no-such-job`."""
    with database().transaction() as connection:
        records_of(connection, job)
    return page("customer-report.html", job=job)


@blueprint.get("/jobs/<job>/report/facts")
def facts(job: str):
    """What the page's script writes the report from, as JSON. Error: `no-such-job`."""
    with database().transaction() as connection:
        sheet, newest = sheet_of(connection, job), rings.newest_of_each(connection)
        shop, texts = shops.shop_row(connection), letterhead.texts_of(connection)
        said = letterhead.told(connection, shop.name)
    return jsonify(
        job=job,
        language=texts["language"],
        entries=[record.entry for record in sheet.records],
        tables={name: {"ring_set": row["ring_set"]} for name, row in sheet.ring_sets.items()},
        newest=[{"id": row["id"], "table": {"ring_set": row["ring_set"]}} for row in newest],
        names={row["id"]: row["name"] for row in newest},
        photos=_photos(sheet),
        shop=said,
    )


def _photos(sheet: Sheet) -> dict[str, str]:
    """Return hash -> "here", "erased" or "away": still on the phone that took it."""
    said = {True: "here", False: "away"}
    return {each["sha256"]: "erased" if each["erased"] else said[each["here"]] for each in sheet.photos}
