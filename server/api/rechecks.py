"""GET /api/rechecks: whose fasteners are to be rechecked, in parts, so that every phone lists all that are due."""

import json

from server.api.etag_list import listed
from server.auth import admission
from server.context import database
from server.store import rechecks
from server.sync.derive import derive_due, derive_facts

blueprint = admission.paired_blueprint("phone_rechecks", __name__)
MOST = 500
_OF_JOB = ("entry", "job", "registration", "vehicle", "last_day")


@blueprint.get("/rechecks")
def show():
    """What nobody has done yet: by its day, then what has only a distance. `more`: the desk has others. A registration
    says whose car it is, as the lines of a phone's list do; a VIN goes with no list.
    """
    derive_due(database())
    derive_facts(database())
    with database().snapshot() as connection:
        rows = rechecks.due(connection, MOST + 1)
    content = {"format": 1, "rechecks": [_said(row) for row in rows[:MOST]], "more": len(rows) > MOST}
    return listed(content, lambda: json.dumps(content))


def _said(row: dict) -> dict:
    """`parts` are missing where the store cannot be written and an older program has derived the row."""
    parts = json.loads(row["parts"]) if row["parts"] else {"distance": None, "source": None, "page": ""}
    return {name: row[name] for name in _OF_JOB} | {"day": row["due_day"]} | parts
