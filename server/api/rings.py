"""GET /api/ring-sets and /api/tables/<sha256>: the shop's ring sets and what each of their index pairs does."""

from flask import Response, jsonify, request

from calc.numbers.checks import shown
from server.auth import admission
from server.context import database
from server.records.spreads import SPREAD
from server.store import rings, settings
from server.web.compressed import compress_response
from server.web.errors import Problem

blueprint = admission.paired_blueprint("rings", __name__)
_FOREVER_S = 365 * 24 * 3600


@blueprint.get("/ring-sets")
def list_sets():
    """Every revision; the newest of an id that is not retired is the one to choose from. `spread`: the shop's own
    spreads, for plans made from now on, or null where nobody has accepted any. `?knows=trusted` is a phone that chooses
    from no untrusted set by itself: only such a one is told of any.
    """
    with database().transaction() as connection:
        spread, rows = settings.get(connection, SPREAD), rings.all_sets(connection)
    if request.args.get("knows") != "trusted":
        rows = rings.offered_to_older_phones(rows)
    return jsonify(format=1, ring_sets=rows, spread=spread)


@blueprint.get("/tables/<name>")
def show_table(name: str):
    """A table's bytes. They never change under their name. Error: `no-such-table`."""
    with database().transaction() as connection:
        content = rings.table_content(connection, name)
    if content is None:
        raise Problem("no-such-table", got=shown(name))
    response = Response(content, mimetype="application/json")
    response.headers["Cache-Control"] = f"private, max-age={_FOREVER_S}, immutable"
    response.set_etag(name, weak=True)  # one for the table and its compressed forms
    return compress_response(response).make_conditional(request)
