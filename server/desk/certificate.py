"""Desk page: how a phone or a PC learns to trust this server. Open to everybody: it comes before the sign-in."""

from flask import Blueprint, Response, current_app

from server.desk import own_addresses
from server.desk.page import page
from server.keys import certificate
from server.web.errors import Problem

blueprint = Blueprint("certificate", __name__)


@blueprint.get("/certificate")
def show():
    """The fingerprint, and the steps for each kind of phone. Problem: `no-certificate`."""
    return page(
        "certificate.html", fingerprint=certificate.fingerprint(_authority()), address=own_addresses.addresses()[0]
    )


@blueprint.get("/certificate/tapermark-authority.crt")
def download():
    """The authority's certificate. Problem: `no-certificate`."""
    response = Response(_authority(), mimetype="application/x-x509-ca-cert")
    response.headers["Content-Disposition"] = 'attachment; filename="tapermark-authority.crt"'
    response.headers["Cache-Control"] = "no-store"
    return response


def _authority() -> bytes:
    store = current_app.config["STORE_FOLDER"]
    if not certificate.is_there(store):
        raise Problem("no-certificate")
    return certificate.authority_der(store)
