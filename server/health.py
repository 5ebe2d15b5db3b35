"""GET /health: whether this server can keep what phones send, for whoever watches it. No secrets, no cookie."""

from flask import Blueprint, jsonify

from server.context import database
from server.store import FAULTS, Unreachable, shops
from server.store_notice import reason_of

blueprint = Blueprint("health", __name__)


@blueprint.get("/health")
def show():
    """200 and {"status": "ok"}; else 503 with `store-unreadable`, `store-full` or `store-read-only`."""
    status = _status()
    response = jsonify(format=1, status=status)
    response.headers["Cache-Control"] = "no-store"
    return response, 200 if status == "ok" else 503


def _status() -> str:
    try:
        with database().snapshot() as connection:
            shops.shop_row(connection)
    except (*FAULTS, Unreachable):
        return "store-unreadable"
    return reason_of(database()) or "ok"
