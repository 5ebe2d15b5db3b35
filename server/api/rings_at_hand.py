"""GET /api/rings-at-hand: the places where ring sets lie, and how many pairs of each are there."""

import json

from server.api.etag_list import listed
from server.auth import admission
from server.context import database
from server.store import rings_at_hand
from server.sync.derive import derive_facts

blueprint = admission.paired_blueprint("places", __name__)


@blueprint.get("/rings-at-hand")
def show():
    """Places in use, and their counts in pairs: one below zero cannot be, and is for the desk to look at."""
    derive_facts(database())
    with database().snapshot() as connection:
        places = [row for row in rings_at_hand.places(connection) if not row["retired"]]
        counts = rings_at_hand.counts(connection)
    used = {row["id"] for row in places}
    content = {
        "format": 1, "places": [{"id": row["id"], "name": row["name"]} for row in places],
        "counts": [{"place": where, "ring_set": ring_set, "pairs": pairs}
                   for (where, ring_set), pairs in sorted(counts.items()) if where in used],
    }  # fmt: skip
    return listed(content, lambda: json.dumps(content))
