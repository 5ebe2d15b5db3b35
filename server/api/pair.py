"""GET and POST /api/pair: how a phone that is not paired yet becomes so, by the code that the desk shows."""

from flask import Blueprint, current_app, jsonify, request, session
from flask_wtf.csrf import generate_csrf

from server.auth import admission, pairing
from server.context import database, now_ms
from server.store import shops
from server.web.bodies import read_json
from server.web.errors import Problem

blueprint = Blueprint("pair", __name__)


@blueprint.get("/pair")
def begin():
    """A token for the request that follows; a phone that is not paired has no session to take it from."""
    return jsonify(format=1, csrf=generate_csrf())


@blueprint.post("/pair")
def finish():
    """Pair this browser by `{"code"}`. Problems: `not-json`, `wrong-request`, `https-needed`, `pair-code-wrong`,
    `too-many-tries`.
    """
    admission.require_privacy()
    body = read_json(request.get_data())
    typed = body.get("code") if isinstance(body, dict) else None
    if not isinstance(typed, str) or not 1 <= len(typed) <= 40:
        raise Problem("wrong-request", field="code", expected="the code that the desk shows", got="something else")
    key = current_app.config["SECRET_KEY"]
    made = pairing.pair(database(), key, typed, session.get("pairing"), admission.address(), now_ms())
    session.pop("csrf_token", None)  # somebody may have put it there; a sign-in at the desk may stay beside the pairing
    admission.remember_pairing(made)
    with database().transaction() as connection:
        shop = shops.shop_row(connection)
    return jsonify(format=1, pairing=made, shop={"name": shop.name, "demo": shop.demo})
