"""GET /api/people: who works in the shop, so that a phone's name is one of them."""

import json

from server.api.etag_list import listed
from server.auth import admission
from server.context import database
from server.store import people, shops

blueprint = admission.paired_blueprint("phone_people", __name__)


@blueprint.get("/people")
def show():
    """Everybody who may sign in, by name, once the shop has a technician; `code` is the digest of a person's short code
    (`server.auth.people.code_digest`). It keeps names from being mixed up; it is no secret that protects anything.
    Nobody where there is no technician, and in the demo shop: names are typed there.
    """
    with database().snapshot() as connection:
        rows = [row for row in people.everybody(connection) if row.ended_ms is None]
        is_chosen = not shops.shop_row(connection).demo and any(row.role == "technician" for row in rows)
    said = [{"id": row.id, "name": row.name, "code": row.phone_code} for row in rows if is_chosen]
    content = {"format": 1, "people": said}
    return listed(content, lambda: json.dumps(content))
