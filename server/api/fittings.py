"""GET /api/fittings: what is fitted in the vehicles that the shop knows, so that a phone can warn without a network."""

import hashlib
import json

from flask import jsonify, request

from server.auth import admission
from server.context import database
from server.store import fittings, shops
from server.sync.derive import derive_facts

blueprint = admission.paired_blueprint("fittings", __name__)
PAGE = 5_000
_HIGHEST = 2**53
_DIGEST = 32  # of 64 hex digits: enough to tell vehicles apart


@blueprint.get("/fittings")
def show():
    """What changed after `?at=` of `?epoch=`, in the order of changing; of another epoch, all from the beginning.

    Registrations and VINs come as digests: `vehicle_digest`.
    """
    derive_facts(database())
    with database().snapshot() as connection:
        epoch = shops.shop_row(connection).epoch
        at = _at(request.args) if request.args.get("epoch") == epoch else 0
        rows = fittings.after(connection, at, PAGE)
    return jsonify(
        format=1, fittings=[_said(row, epoch) for row in rows], more=len(rows) == PAGE,
        next={"epoch": epoch, "at": rows[-1]["at"] if rows else at},
    )  # fmt: skip


def _at(arguments) -> int:
    text = arguments.get("at", "")
    return min(int(text), _HIGHEST) if text.isascii() and text.isdigit() and len(text) < 20 else 0


def _said(row: dict, epoch: str) -> dict:
    keys = [vehicle_digest(epoch, *each) for each in json.loads(row["keys"])]
    sides = {side: row[side] and json.loads(row[side]) for side in ("left", "right")}
    return {"at": row["at"], "job": row["job"], "keys": keys, **sides, "day": row["day"]}


def vehicle_digest(epoch: str, what: str, key: str) -> str:
    """Return how a vehicle is called there. `what`: registration or vin; `key`: its letters and digits, upper case."""
    return hashlib.sha256(f"{epoch}:{what}:{key}".encode()).hexdigest()[:_DIGEST]
