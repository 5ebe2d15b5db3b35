"""Desk pages: the list of job sheets, and one job sheet."""

from flask import render_template

from server import gate
from server.context import database
from server.store import entries, shops

blueprint = gate.paired_blueprint("desk", __name__)


@blueprint.get("/")
def list_jobs():
    """The newest job sheets first."""
    with database().transaction() as connection:
        return render_template("jobs.html", jobs=entries.find_jobs(connection), shop=shops.shop_row(connection))
