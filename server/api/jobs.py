"""GET /api/jobs: job sheets that a phone does not hold by itself, by registration or whole."""

from flask import jsonify, request

from server.auth import admission
from server.context import database
from server.limits import LONGEST_PLATE
from server.records.entry_rules import is_uuid
from server.records.summary import registration_key
from server.store import entries
from server.sync.derive import derive_due
from server.web.errors import Problem

blueprint = admission.paired_blueprint("jobs", __name__)


@blueprint.get("/jobs")
def find():
    """The job sheets of `?registration=`, newest change first. Error: `wrong-request`."""
    key = registration_key(request.args.get("registration", ""))
    if not 1 <= len(key) <= LONGEST_PLATE:
        expected = f"1 to {LONGEST_PLATE} letters or digits"
        raise Problem("wrong-request", field="registration", expected=expected, got=f"{len(key)}")
    derive_due(database())
    with database().transaction() as connection:
        rows = entries.find_jobs(connection, key)
    shown = ("id", "state", "registration", "vehicle", "conflicts", "changed_ms")
    return jsonify(format=1, jobs=[{name: row[name] for name in shown} for row in rows])


@blueprint.get("/jobs/<job>/entries")
def show(job: str):
    """Every entry of one job, in the order of arrival. Error: `no-such-job`."""
    with database().transaction() as connection:
        found = entries.entries_of_job(connection, job) if is_uuid(job) else []
    if not found:
        raise Problem("no-such-job")
    return jsonify(format=1, job=job, entries=found)
