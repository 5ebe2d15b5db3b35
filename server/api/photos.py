"""PUT and GET /api/photos/<sha256>: pictures, named by the bytes that the phone sent."""

from flask import Blueprint, Response, g, jsonify, request

from calc.numbers.checks import shown
from server.auth import admission
from server.context import database, now_ms
from server.limits import DAY_MS, MOST_PHOTOS_A_DAY
from server.photos import pictures
from server.photos.keep_photo import drop_ahead, keep_picture, name_of, put_ahead
from server.records.entry_rules import is_sha256
from server.records.fold import fold
from server.store import AlreadyThere, entries, photos
from server.web.errors import Problem

blueprint = Blueprint("photos", __name__)


@blueprint.before_request
def ask_who():
    """Only a phone sends photos; the desk looks at them too."""
    if request.method in ("GET", "HEAD"):
        admission.require_pairing_or_person()
    else:
        admission.require_pairing()


@blueprint.put("/photos/<name>")
def take(name: str):
    """Keep a photo, re-encoded. Twice is once. Errors: `photo-name`, `too-large`, `photo-empty`, `photo-different`,
    `photo-not-wanted`, `photo-quota`, `photo-format`, `photo-too-many-pixels`.
    """
    _check_name(name)
    content = request.get_data()
    if not content:
        raise Problem("photo-empty")
    if (got := name_of(content)) != name:
        raise Problem("photo-different", got=got)
    with database().transaction() as connection:
        _check_welcome(connection, name)
        if photos.held_of(connection, [name]):
            return jsonify(format=1, sha256=name, held=True)
    picture = pictures.re_encode(content)
    _keep(name, picture)
    return jsonify(format=1, sha256=name, held=True), 201


def _check_name(name: str) -> None:
    if not is_sha256(name):
        raise Problem("photo-name", got=shown(name))


def _check_welcome(connection, name: str) -> None:
    _check_wanted(connection, name)
    if photos.number_between(connection, g.pairing, now_ms() - DAY_MS, now_ms()) >= MOST_PHOTOS_A_DAY:
        raise Problem("photo-quota", most=MOST_PHOTOS_A_DAY)


def _check_wanted(connection, name: str) -> None:
    if not photos.is_wanted_by(connection, g.pairing, name):
        raise Problem("photo-not-wanted")


def _keep(name: str, picture: pictures.Picture) -> None:
    put_ahead(database(), picture)
    try:
        with database().transaction() as connection:
            keep_picture(connection, g.pairing, name, picture, now_ms())
            _check_wanted(connection, name)  # its job may have been erased while the picture was decoded
    except Problem:
        drop_ahead(database(), picture)
        raise
    except AlreadyThere:
        # another request with the same bytes was first; or the store was restored and the pairing is not in it
        with database().transaction() as connection:
            if not photos.held_of(connection, [name]):
                raise


@blueprint.get("/photos/<name>")
def show(name: str):
    """The kept picture, for a phone or a signed-in person, while a live entry shows it. Error: `no-such-photo`."""
    _check_name(name)
    with database().transaction() as connection:
        found = photos.kept(connection, name) if _is_live(connection, name) else None
    if found is None:
        raise Problem("no-such-photo")
    etag, content = found
    response = Response(content, mimetype=pictures.MIME)
    response.headers["Content-Disposition"] = f'inline; filename="{name[:16]}.jpg"'
    response.headers["Cache-Control"] = "private, no-cache"
    response.set_etag(etag)
    return response.make_conditional(request)


def _is_live(connection, name: str) -> bool:
    for job in photos.jobs_with(connection, name):
        live = fold(entries.entries_of_job(connection, job))["photos"]
        if any(entry["body"]["sha256"] == name for entry in live):
            return True
    return False
