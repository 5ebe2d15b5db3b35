"""Who may come in. Until the desk pairs phones, a browser on the server's own machine is paired with the demo shop.

It runs before every view except those of the shell, which are the same for everybody.
"""

import ipaddress

from flask import Blueprint, Flask, g, request, session

from server.context import database, now_ms
from server.errors import Problem
from server.limits import LARGEST_PHOTO
from server.store import shops

_SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
_OWN_SITE = ("same-origin", "none")  # none: typed into the address bar


def paired_blueprint(name: str, import_name: str) -> Blueprint:
    """Return a blueprint whose views only a paired browser reaches; they find its pairing in `g.pairing`."""
    blueprint = Blueprint(name, import_name)
    blueprint.before_request(require_pairing)
    return blueprint


def set_body_limit() -> None:
    """Before the token check, which opens the body and with it settles how much of it may come."""
    if request.endpoint == "photos.take":
        request.max_content_length = LARGEST_PHOTO


def refuse_other_sites() -> None:
    """The second guard beside the token: a browser says where an unsafe request comes from."""
    site = request.headers.get("Sec-Fetch-Site")
    if request.method not in _SAFE_METHODS and site is not None and site not in _OWN_SITE:
        raise Problem("cross-site")


def require_pairing() -> None:
    """Leave the pairing's id in `g.pairing`, or refuse. Raises `not-paired` and `pairing-ended`."""
    with database().transaction() as connection:
        known = shops.pairing_row(connection, session["pairing"]) if "pairing" in session else None
    if known is not None and known.revoked_ms is not None:
        raise Problem("pairing-ended")
    if not _is_on_this_machine():
        raise Problem("not-paired")
    g.pairing = known.id if known else _pair()


def _pair() -> str:
    with database().transaction() as connection:
        pairing = shops.add_pairing(connection, "A browser on this machine", now_ms())
    session.permanent = True
    session["pairing"] = pairing
    return pairing


def _is_on_this_machine() -> bool:
    """Both ends must be loopback: the name too, or another site could point its own name here (DNS rebinding)."""
    return is_loopback(request.remote_addr or "") and is_loopback(_host_name(request.host))


def _host_name(host: str) -> str:
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.partition(":")[0]


def is_loopback(name: str) -> bool:
    if name == "localhost":
        return True
    try:
        return ipaddress.ip_address(name).is_loopback
    except ValueError:
        return False


def init_app(app: Flask) -> None:
    app.before_request(set_body_limit)
    app.before_request(refuse_other_sites)
