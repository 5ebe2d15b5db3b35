"""GET /api/session: what a phone asks first, before it sends anything."""

from datetime import UTC, datetime

from flask import g, jsonify, session
from flask_wtf.csrf import generate_csrf

from server.auth import admission
from server.context import database, now_ms
from server.store import shops

blueprint = admission.paired_blueprint("session", __name__)


@blueprint.get("/session")
def show():
    """A fresh token for writes, the shop, the pairing, what came by it, the epoch of the store, the server's time."""
    session.modified = True  # its 400 days begin again
    with database().transaction() as connection:
        shop, sent = shops.shop_row(connection), shops.sent_by(connection, g.pairing)
    return jsonify(
        format=1,
        csrf=generate_csrf(),
        shop={"name": shop.name, "demo": shop.demo},
        pairing=g.pairing,
        epoch=shop.epoch,
        time=datetime.fromtimestamp(now_ms() / 1000, UTC).isoformat(timespec="milliseconds"),
        sent=sent,
    )
