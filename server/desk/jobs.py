"""Desk pages: the list of job sheets, and one job sheet."""

from flask import current_app, render_template, request

from server import gate
from server.accept import registration_key
from server.context import database
from server.desk import words
from server.desk.sheet import Sheet
from server.desk.texts import texts_of
from server.errors import Problem
from server.store import entries, photos, rings, shops
from server.sync import is_uuid

blueprint = gate.paired_blueprint("desk", __name__)


@blueprint.get("/")
def list_jobs():
    """The newest job sheets first; with `?registration=` those of one vehicle."""
    wanted = request.args.get("registration", "").strip()
    with database().transaction() as connection:
        rows = entries.find_jobs(connection, registration_key(wanted) if wanted else None)
        shop = shops.shop_row(connection)
    return render_template("jobs.html", jobs=rows, shop=shop, wanted=wanted, words=words)


@blueprint.get("/jobs/<job>")
def show_job(job: str):
    """One job sheet. Error: `no-such-job`."""
    with database().transaction() as connection:
        found = entries.entries_of_job(connection, job) if is_uuid(job) else []
        if not found:
            raise Problem("no-such-job")
        received = entries.received_of_job(connection, job)
        named = [e["body"]["sha256"] for e in found if e["kind"] == "photo-attached"]
        held = photos.held_of(connection, named)
        shop = shops.shop_row(connection)
        set_names = {row["id"]: row["name"] for row in rings.all_sets(connection)}
    sheet = Sheet(found, received, held, set_names, texts_of(current_app.config["PWA_FOLDER"]))
    return render_template("job.html", sheet=sheet, shop=shop, job=job)
