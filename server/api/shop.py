"""GET /api/shop and its logo: what the customer's report says of the shop. Phones keep it, for work without network."""

import json

from flask import Blueprint, Response, request

from server import letterhead
from server.api.etag_list import listed
from server.auth import admission
from server.context import database
from server.store import shops
from server.web.errors import Problem

blueprint = Blueprint("shop", __name__)
blueprint.before_request(admission.require_pairing_or_person)  # the desk's report shows the logo too


@blueprint.get("/shop")
def show():
    """Name, address, telephone, foot of the report, and which logo. An ETag by content."""
    with database().snapshot() as connection:
        content = {"format": 1, **letterhead.told(connection, shops.shop_row(connection).name)}
    return listed(content, lambda: json.dumps(content))


@blueprint.get("/shop/logo")
def show_logo():
    """The logo as a JPEG. Error: `no-logo`."""
    with database().snapshot() as connection:
        logo = letterhead.logo_of(connection)
    if logo is None:
        raise Problem("no-logo")
    response = Response(logo["content"], mimetype=letterhead.MIME)
    response.headers["Cache-Control"] = "private, no-cache"
    response.set_etag(logo["sha256"])
    return response.make_conditional(request)
