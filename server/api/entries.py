"""POST /api/entries: one round trip brings the phone's entries here and what it lacks there."""

import json

from flask import Response, g, request

from server.auth import admission
from server.context import database, now_ms
from server.sync.sync import check_request, exchange
from server.web.bodies import read_json

blueprint = admission.paired_blueprint("entries", __name__)


@blueprint.post("/entries")
def swap():
    """Take entries and give others. Errors: `not-json`, `json-too-deep`, `wrong-request`, `too-large`."""
    body = read_json(request.get_data())
    check_request(body)
    answer = exchange(database(), g.pairing_row, body, now_ms())
    return Response(_joined(answer), mimetype="application/json")


def _joined(answer: dict) -> str:
    """Return the answer as JSON; entries go out as they are kept, without being read and written anew."""
    texts = {name: f"[{','.join(part)}]" if name == "entries" else json.dumps(part) for name, part in answer.items()}
    return "{" + ",".join(f'"{name}":{text}' for name, text in texts.items()) + "}"
