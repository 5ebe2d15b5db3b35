"""Who may come in: a phone by its pairing, a person by a sign-in; in the demo shop any browser on the server's machine.

Both are looked up in the store at every request, so that ending either holds at once. The shell's views ask nobody:
they are the same for everybody.
"""

from flask import Blueprint, Flask, g, redirect, request, session, url_for
from flask_login import LoginManager, UserMixin, current_user, login_user, logout_user

from server.auth import people
from server.auth.people import Person
from server.context import database, now_ms
from server.limits import LARGEST_IMPORT, LARGEST_PAIR_BODY, LARGEST_PHOTO
from server.store import shops
from server.store.people import end_sign_in
from server.web.addresses import host_name, is_loopback
from server.web.errors import Problem

_SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
_OWN_SITE = ("same-origin", "none")  # none: typed into the address bar
_DEMO_OWNER = Person(None, "Demo desk", "owner")


class SignedIn(UserMixin):
    """What Flask-Login carries: the name of the sign-in, and whose it is."""

    def __init__(self, token: str, person: Person):
        self.id, self.person = token, person


def paired_blueprint(name: str, import_name: str) -> Blueprint:
    """Return a blueprint whose views only a paired browser reaches; they find its pairing in `g.pairing`."""
    blueprint = Blueprint(name, import_name)
    blueprint.before_request(require_pairing)
    return blueprint


def desk_blueprint(name: str, import_name: str, least: str = "technician") -> Blueprint:
    """Return a blueprint for people of that role or above; its views find the `Person` in `g.person`."""
    blueprint = Blueprint(name, import_name)
    blueprint.before_request(lambda: require_person(least))
    return blueprint


def require_pairing() -> None:
    """Leave the pairing's id in `g.pairing` and its row in `g.pairing_row`, or refuse.

    Problems: `not-paired`, `pairing-ended`.
    """
    with database().transaction() as connection:
        known = shops.pairing_row(connection, session["pairing"]) if "pairing" in session else None
        is_demo = known is None and shops.shop_row(connection).demo
    if known is not None and known.revoked_ms is not None:
        raise Problem("pairing-ended")
    if known is None and not (is_demo and is_on_this_machine()):
        raise Problem("not-paired", next=_DEMO_NEXT if is_demo else _SHOP_NEXT)
    g.pairing_row = known or _pair()
    g.pairing = g.pairing_row.id


_SHOP_NEXT = "Ask the desk for a code (Phones, Pair a phone), and type it in under Settings, Pairing"
_DEMO_NEXT = (
    "In the demo shop a browser on the server's own machine needs nothing, at http://127.0.0.1 or http://localhost;"
    " any other needs a code from the demo's desk"
)


def require_person(least: str = "technician"):
    """Leave the person in `g.person`, or send a reader to sign in. Problems: `sign-in-needed`, `not-your-role`."""
    person = person_here()
    if person is None:
        with database().transaction() as connection:
            is_demo = shops.shop_row(connection).demo
        if is_demo:
            raise Problem("not-paired", next=_DEMO_NEXT)
        if request.method in _SAFE_METHODS:
            return redirect(url_for("sign_in.show", next=request.path), 303)
        raise Problem("sign-in-needed")
    if not person.may(least):
        raise Problem("not-your-role", role=person.role, least=least)
    g.person = person
    return None


def require_pairing_or_person() -> None:
    """For what both the phone and the desk look at. Whoever is signed in needs no pairing, not even one in force."""
    if person_here() is None:
        require_pairing()


def person_here() -> Person | None:
    """Return who is signed in; in the demo shop, on the server's own machine, its owner without a sign-in."""
    if current_user.is_authenticated:
        return current_user.person
    with database().transaction() as connection:
        is_demo = shops.shop_row(connection).demo
    return _DEMO_OWNER if is_demo and is_on_this_machine() else None


def sign_in(name: str, password: str) -> None:
    """Problems: `https-needed`, `sign-in-failed`, `too-many-tries`."""
    require_privacy()
    token = people.sign_in(database(), name, password, address(), now_ms())
    person = people.signed_in(database(), token, now_ms())
    start_session_anew()
    login_user(SignedIn(token, person))


def sign_out() -> None:
    if current_user.is_authenticated:
        with database().transaction() as connection:
            end_sign_in(connection, people.digest_of(current_user.id))
    logout_user()
    start_session_anew()


def start_session_anew() -> None:
    """Nothing that was in the cookie before stays, its token least of all; but a phone stays paired."""
    pairing = session.get("pairing")
    session.clear()
    if pairing is not None:
        remember_pairing(pairing)


def remember_pairing(pairing: str) -> None:
    session.permanent = True
    session["pairing"] = pairing


def _pair():
    with database().transaction() as connection:
        pairing = shops.add_pairing(connection, "A browser on this machine", now_ms())
        row = shops.pairing_row(connection, pairing)
    remember_pairing(pairing)
    return row


def address() -> str:
    """Where the request comes from; behind a proxy that is configured, where the proxy says."""
    return (request.remote_addr or "")[:45]


def require_privacy() -> None:
    """Secrets travel by HTTPS, or within this machine. Problem: `https-needed`."""
    if not request.is_secure and not is_on_this_machine():
        raise Problem("https-needed")


def is_on_this_machine() -> bool:
    """Both ends must be loopback: the name too, or another site could point its own name here (DNS rebinding)."""
    return is_loopback(request.remote_addr or "") and is_loopback(host_name(request.host))


def set_body_limit() -> None:
    """Before the token check, which opens the body and with it settles how much of it may come."""
    if request.endpoint == "photos.take" and "pairing" in session:
        request.max_content_length = LARGEST_PHOTO
    if request.endpoint == "pair.finish":
        request.max_content_length = LARGEST_PAIR_BODY
    if request.endpoint == "imports.take" and (person := person_here()) and person.may("office"):
        request.max_content_length = LARGEST_IMPORT


def refuse_other_sites() -> None:
    """The second guard beside the token: a browser says where an unsafe request comes from."""
    site = request.headers.get("Sec-Fetch-Site")
    if request.method not in _SAFE_METHODS and site is not None and site not in _OWN_SITE:
        raise Problem("cross-site")


def init_app(app: Flask) -> None:
    manager = LoginManager(app)
    manager.session_protection = None  # a shop's own address changes; the sign-in is looked up at every request

    @manager.user_loader
    def load(token: str) -> SignedIn | None:
        person = people.signed_in(database(), token, now_ms())
        return SignedIn(token, person) if person else None

    @app.context_processor
    def who_is_here() -> dict:
        return {"person": g.get("person")}

    app.before_request(set_body_limit)
    app.before_request(refuse_other_sites)
