"""Desk pages: the phones of the shop, pairing another one, ending a pairing."""

import io

import segno
from flask import current_app, g, redirect, request, url_for
from markupsafe import Markup

from server.auth import admission, pairing, people
from server.context import database, now_ms
from server.desk import own_addresses
from server.desk.page import page
from server.store import audit_lines, photos, shops
from server.web.errors import Problem

blueprint = admission.desk_blueprint("phones", __name__, least="office")


@blueprint.get("/phones")
def show_all():
    with database().transaction() as connection:
        rows = shops.phones(connection)
        missing = {row.id: photos.number_awaited(connection, row.id) for row in rows if row.revoked_ms is None}
    return page(
        "phones.html",
        rows=rows,
        missing=missing,
        addresses=own_addresses.addresses(),
        reachable=not own_addresses.is_only_here(),
    )


@blueprint.post("/phones/code")
def make_code():
    """Make a code and show it, this once. Problem: `wrong-name`."""
    name = people.check_name(request.form.get("name", ""))
    addresses = own_addresses.addresses()
    address = request.form.get("address") if request.form.get("address") in addresses else addresses[0]
    key = current_app.config["SECRET_KEY"]
    code = pairing.new_code(database(), key, name, g.person.name, admission.address(), now_ms())
    link = f"{address}/#/pair/{code}"
    shown = pairing.as_shown(code)
    return page("pair-phone.html", code=shown, name=name, address=address, minutes=pairing.MINUTES, qr=_qr(link))


@blueprint.get("/phones/<pairing_id>/end")
def ask_before_end(pairing_id: str):
    """Ask once, with what the phone still has. Problem: `no-such-phone`."""
    with database().transaction() as connection:
        row, missing = _phone(connection, pairing_id), photos.number_awaited(connection, pairing_id)
    return page("end-phone.html", row=row, missing=missing)


@blueprint.post("/phones/<pairing_id>/end")
def end(pairing_id: str):
    """End a pairing: the phone's next request is refused. Problem: `no-such-phone`."""
    with database().transaction() as connection:
        row = _phone(connection, pairing_id)
    with database().transaction() as connection:
        shops.end_pairing(connection, pairing_id, now_ms())
        audit_lines.add(connection, "pairing-ended", g.person.name, admission.address(), row.name, now_ms())
    return redirect(url_for("phones.show_all"), 303)


def _phone(connection, pairing_id: str):
    row = shops.pairing_row(connection, pairing_id)
    if row is None or row.file is not None:
        raise Problem("no-such-phone")
    return row


def _qr(link: str) -> Markup:
    """Return the link as a drawing with its own light ground, so that it can be read on a dark page too."""
    out = io.BytesIO()
    segno.make(link, error="m").save(out, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False, omitsize=True)
    return Markup(out.getvalue().decode())
