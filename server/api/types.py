"""GET /api/types: the shop's vehicle types, for phones to offer while make and model are typed."""

import json

from server import shop_time
from server.api.etag_list import listed
from server.auth import admission
from server.context import database
from server.records.job_facts import VERSION
from server.store import types
from server.sync.derive import derive_facts

blueprint = admission.paired_blueprint("types", __name__)
CHECK_MONTHS = 12  # after which windows and torques ask to be checked


@blueprint.get("/types")
def show():
    """Every type in its newest revision, those retired or merged without what they held; and as `unchecked` what jobs
    propose and no lead has accepted, under the proposing entry's id and revision 0.
    """
    derive_facts(database())
    with database().snapshot() as connection:
        return listed([VERSION, types.marks(connection)], lambda: _list(connection))


def _list(connection) -> str:
    """Bodies go as they are kept: reading 2,000 of them and writing them again would take most of the time."""
    said = [_said(row) for row in types.newest_of_each(connection, parsed=False)]
    said += [json.dumps(_said_unchecked(row)) for row in types.pending(connection)]
    return f'{{"format":1,"check_months":{CHECK_MONTHS},"types":[{",".join(said)}]}}'


def _said(row: dict) -> str:
    said = {
        "id": row["id"],
        "revision": row["revision"],
        "state": row["state"],
        "made_day": shop_time.day_of(row["made_ms"]),
    }
    if row["state"] != "accepted":
        return json.dumps(said | {"merged_into": row["merged_into"]})
    return f'{json.dumps(said)[:-1]},"type":{row["body"]}}}'


def _said_unchecked(row: dict) -> dict:
    return {
        "id": row["entry"], "revision": 0, "state": "unchecked", "job": row["job"], "base": row["base"],
        "type": row["type"],
    }  # fmt: skip
