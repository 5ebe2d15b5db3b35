"""Tells the sender of a body that was not read why, and tells the listener who is sending.

The listener (server/listen) reads bodies before the application has anything to do with them; it cannot answer in the
shop's words, and knows no cookie.
"""

from flask import Flask, request, session
from flask_login import current_user
from werkzeug.middleware.proxy_fix import ProxyFix

from server.context import database
from server.store import shops
from server.store.not_writable import FULL
from server.web.addresses import place_of
from server.web.errors import Problem

UNREAD = "tapermark.unread"  # in the environment of a request: why its body is not there
TOO_MANY, TOO_SLOW, NO_ROOM = "too-many-bodies", "body-too-slow", FULL


def init_app(app: Flask) -> None:
    @app.before_request
    def say_why_it_was_not_read():
        reason = request.environ.get(UNREAD)
        if reason in (TOO_MANY, TOO_SLOW, NO_ROOM):
            raise Problem(reason)


def sender_of(app: Flask):
    """Return a function that says who sends a request: (pairing or person in force, or None; the address)."""

    def look(environ: dict, _start) -> tuple[str | None, str]:
        with app.request_context(environ):
            return _known(), place_of(request.remote_addr or "")

    proxies = app.config["PROXIES"]
    seen = ProxyFix(look, x_for=proxies, x_proto=proxies, x_host=0) if proxies else look
    return lambda environ: seen(dict(environ), None)


def _known() -> str | None:
    """The pairing before the person: a phone that somebody has signed in on sends by its pairing."""
    if "pairing" in session:
        with database().transaction() as connection:
            row = shops.pairing_row(connection, session["pairing"])
        if row is not None and row.revoked_ms is None:
            return row.id
    if current_user.is_authenticated:
        return str(current_user.person.id)
    return None
