"""Desk pages: the people of the shop, for its owners; and one's own password, for everybody."""

from flask import g, redirect, request, url_for
from flask_login import current_user

from server.auth import admission, people
from server.context import database, now_ms
from server.desk.page import page
from server.store import audit_lines
from server.store import people as store
from server.web.errors import Problem

blueprint = admission.desk_blueprint("people", __name__, least="owner")
own_blueprint = admission.desk_blueprint("me", __name__)


@blueprint.get("/people")
def show_all():
    with database().transaction() as connection:
        rows = store.everybody(connection)
    return page("people.html", rows=rows, roles=people.ROLES)


@blueprint.post("/people")
def add():
    """Problems: `wrong-name`, `wrong-role`, `weak-password`, `passwords-differ`, `name-taken`."""
    name, role = request.form.get("name", ""), request.form.get("role", "")
    people.add(database(), name, role, _new_password(), now_ms())
    _note("person-added", f"{people.check_name(name)}, {role}")
    return redirect(url_for("people.show_all"), 303)


@blueprint.get("/people/<person_id>")
def show_one(person_id: str):
    """Problem: `no-such-person`."""
    return page("person.html", row=_row(person_id), roles=people.ROLES)


@blueprint.post("/people/<person_id>/role")
def change_role(person_id: str):
    """Problems: `no-such-person`, `wrong-role`, `last-owner`."""
    row, role = _row(person_id), request.form.get("role", "")
    people.change_role(database(), person_id, role)
    _note("role-changed", f"{row.name}, {row.role} to {role}")
    return redirect(url_for("people.show_one", person_id=person_id), 303)


@blueprint.post("/people/<person_id>/password")
def set_password(person_id: str):
    """Problems: `no-such-person`, `weak-password`, `passwords-differ`."""
    row = _row(person_id)
    people.set_password(database(), person_id, _new_password())
    _note("password-set", row.name)
    return redirect(url_for("people.show_one", person_id=person_id), 303)


@blueprint.post("/people/<person_id>/code")
def set_phone_code(person_id: str):
    """Problems: `no-such-person`, `wrong-request`."""
    row, code = _row(person_id), request.form.get("code", "").strip()
    people.set_phone_code(database(), person_id, code)
    _note("phone-code-set" if code else "phone-code-removed", row.name)
    return redirect(url_for("people.show_one", person_id=person_id), 303)


@blueprint.post("/people/<person_id>/deactivate")
def deactivate(person_id: str):
    """Problems: `no-such-person`, `last-owner`."""
    row = _row(person_id)
    people.deactivate(database(), person_id, now_ms())
    _note("person-deactivated", row.name)
    return redirect(url_for("people.show_one", person_id=person_id), 303)


@blueprint.post("/people/<person_id>/reactivate")
def reactivate(person_id: str):
    """Problem: `no-such-person`."""
    row = _row(person_id)
    people.reactivate(database(), person_id)
    _note("person-reactivated", row.name)
    return redirect(url_for("people.show_one", person_id=person_id), 303)


@own_blueprint.get("/me")
def show_me():
    return page("me.html", saved="saved" in request.args)


@own_blueprint.post("/me")
def change_own_password():
    """Problems: `old-password-wrong`, `weak-password`, `passwords-differ`, `too-many-tries`."""
    if g.person.id is None:
        raise Problem("no-such-person")
    admission.require_privacy()
    old = request.form.get("old", "")
    people.change_password(database(), g.person, current_user.id, old, _new_password(), admission.address(), now_ms())
    return redirect(url_for("me.show_me", saved=""), 303)


def _new_password() -> str:
    new = request.form.get("new", "")
    if request.form.get("again", "") != new:
        raise Problem("passwords-differ")
    return new


def _row(person_id: str):
    with database().transaction() as connection:
        row = store.find(connection, person_id)
    if row is None:
        raise Problem("no-such-person")
    return row


def _note(what: str, about: str) -> None:
    with database().transaction() as connection:
        audit_lines.add(connection, what, g.person.name, admission.address(), about, now_ms())
