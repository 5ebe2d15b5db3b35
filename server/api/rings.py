"""GET /api/ring-sets and /api/tables/<sha256>: the shop's ring sets and what each of their index pairs does."""

from flask import Response, jsonify, request

from server import gate
from server.compressed import compress_response
from server.context import database
from server.errors import Problem
from server.store import rings

blueprint = gate.paired_blueprint("rings", __name__)
_FOREVER_S = 365 * 24 * 3600


@blueprint.get("/ring-sets")
def list_sets():
    """Every revision; the newest of an id that is not retired is the one to choose from."""
    with database().transaction() as connection:
        return jsonify(format=1, ring_sets=rings.all_sets(connection))


@blueprint.get("/tables/<name>")
def show_table(name: str):
    """A table's bytes. They never change under their name. Error: `no-such-table`."""
    with database().transaction() as connection:
        content = rings.table_content(connection, name)
    if content is None:
        raise Problem("no-such-table")
    response = Response(content, mimetype="application/json")
    response.headers["Cache-Control"] = f"private, max-age={_FOREVER_S}, immutable"
    response.set_etag(name, weak=True)  # one for the table and its compressed forms
    return compress_response(response).make_conditional(request)
