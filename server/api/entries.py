"""POST /api/entries: one round trip brings the phone's entries here and what it lacks there."""

from flask import g, jsonify, request

from server import admission
from server.accept import check_request, exchange
from server.bodies import read_json
from server.context import database, now_ms
from server.store import shops

blueprint = admission.paired_blueprint("entries", __name__)


@blueprint.post("/entries")
def swap():
    """Take entries and give others. Errors: `not-json`, `json-too-deep`, `wrong-request`, `too-large`."""
    body = read_json(request.get_data())
    check_request(body)
    with database().transaction() as connection:
        answer = exchange(connection, g.pairing, body, now_ms())
        shops.note_contact(connection, g.pairing, now_ms(), body.get("unsent"), body.get("version"))
    return jsonify(answer)
