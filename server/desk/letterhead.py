"""Desk page: what the customer's report says of the shop, for its owners. What was typed stays on the page."""

from flask import g, redirect, request, url_for

from server import letterhead
from server.auth import admission
from server.context import database, now_ms
from server.desk.page import page
from server.store import audit_lines, settings
from server.web.errors import MEGABYTE

blueprint = admission.desk_blueprint("letterhead", __name__, least="owner")


@blueprint.get("/report")
def show():
    return _page({}, None)


def _page(flaws: dict[str, str], typed: dict[str, str] | None):
    with database().transaction() as connection:
        kept, logo = letterhead.texts_of(connection), letterhead.logo_of(connection)
        said = settings.row(connection, letterhead.TEXTS)
    return page(
        "letterhead.html", typed=typed or kept, flaws=flaws, logo=logo, said=said, fields=letterhead.FIELDS,
        languages=letterhead.LANGUAGES, most_mb=letterhead.LARGEST_FILE // MEGABYTE,
    )  # fmt: skip


@blueprint.post("/report")
def keep():
    """Keep the texts; `language` is that of the report at the desk."""
    typed = {field: request.form.get(field, "") for field in (*letterhead.FIELDS, "language")}
    kept, flaws = letterhead.clean(typed)
    if flaws:
        return _page(flaws, typed), 422
    with database().transaction() as connection:
        before = letterhead.texts_of(connection)
        changed = [name for name in kept if kept[name] != before[name]]
        if changed:
            settings.put(connection, letterhead.TEXTS, kept, g.person.name, now_ms())
            _note(connection, ", ".join(changed))
    return redirect(url_for("letterhead.show"), 303)


@blueprint.post("/report/logo")
def keep_logo():
    """Take a logo, made small and free of all that is not the picture."""
    try:
        logo = letterhead.logo_from(_chosen())
    except letterhead.NoLogo as refusal:
        return _page({"logo": str(refusal)}, None), 422
    _put_logo(logo, f"logo of {logo['width']} by {logo['height']} pixels")
    return redirect(url_for("letterhead.show"), 303)


def _chosen() -> bytes:
    file = request.files.get("file")
    if file is None:
        return b""
    with file.stream:
        return file.read()


@blueprint.post("/report/logo/remove")
def remove_logo():
    _put_logo(None, "logo taken away")
    return redirect(url_for("letterhead.show"), 303)


def _put_logo(logo: dict | None, what: str) -> None:
    with database().transaction() as connection:
        settings.put(connection, letterhead.LOGO, logo, g.person.name, now_ms())
        _note(connection, what)


def _note(connection, about: str) -> None:
    audit_lines.add(connection, "letterhead-set", g.person.name, admission.address(), about, now_ms())
