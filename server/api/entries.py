"""POST /api/entries: one round trip brings the phone's entries here and what it lacks there."""

import json

from flask import g, jsonify, request

from server import gate
from server.accept import check_request, exchange
from server.context import database, now_ms
from server.errors import Problem
from server.limits import DEEPEST_ENTRY
from server.store import shops

blueprint = gate.paired_blueprint("entries", __name__)


@blueprint.post("/entries")
def swap():
    """Take entries and give others. Errors: `not-json`, `json-too-deep`, `wrong-request`, `too-large`."""
    body = read_json(request.get_data())
    check_request(body)
    with database().transaction() as connection:
        answer = exchange(connection, g.pairing, body, now_ms())
        shops.note_contact(connection, g.pairing, now_ms())
    return jsonify(answer)


def read_json(raw: bytes):
    """Return what the bytes say as JSON, or refuse them as a whole."""
    try:
        return json.loads(raw.decode("utf-8"))
    except RecursionError:
        raise Problem("json-too-deep", deepest=DEEPEST_ENTRY) from None
    except ValueError as error:
        raise Problem("not-json", why=str(error) if raw else "it is empty") from None
