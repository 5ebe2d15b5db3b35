"""The catalogue of everything the server refuses, and the one place where a refusal becomes an HTTP answer.

Each text says what was wrong, what was expected and what to do next. Codes are stable: phones decide by them.
"""

from flask import Flask, jsonify, render_template, request
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from server.limits import LARGEST_ENTRIES_BODY, LARGEST_PHOTO

MEGABYTE = 1_000_000

# code -> (HTTP status, text). `{name}` is filled from the problem's details.
CATALOGUE = {
    "not-paired": (
        403,
        "This browser is not paired with the shop. In the demo shop only a browser on the server's own machine is,"
        " at http://127.0.0.1 or http://localhost. Open the program there; what is on this phone stays on it.",
    ),
    "pairing-ended": (
        403,
        "The shop has ended the pairing of this phone. Nothing on it is lost: pair it again at the desk,"
        " or save what was not sent to a file.",
    ),
    "cross-site": (
        403,
        "The request came from another site's page, and only Tapermark's own pages may change anything."
        " Open Tapermark itself and try again.",
    ),
    "csrf-failed": (
        400,
        "The request did not carry the token of this session ({why}). Get a fresh one from /api/session and send"
        " again; nothing was stored and nothing is lost.",
    ),
    "not-json": (
        400,
        "The body is not whole, valid JSON ({why}). It may have been cut off on its way: send all of it again;"
        " nothing of it was stored.",
    ),
    "json-too-deep": (
        400,
        "The JSON is nested too deep to read. Expected are objects and lists at most {deepest} deep."
        " Nothing of it was stored.",
    ),
    "wrong-request": (
        400,
        "{field}: expected {expected}, got {got}. Nothing of the request was stored; mend it and send again.",
    ),
    "too-large": (
        413,
        "The body is larger than this address takes. Entries: send fewer at a time, at most {entries_mb} MB."
        " Photos: at most {photo_mb} MB; take the picture again at a lower resolution.",
    ),
    "photo-name": (
        404,
        "A photo's address ends in its SHA-256, 64 digits from 0-9 and a-f. Check the address.",
    ),
    "photo-empty": (
        422,
        "The photo arrived with 0 bytes. Keep it and send its bytes again, or take it again.",
    ),
    "photo-different": (
        422,
        "The bytes that arrived are not the photo of that name: their SHA-256 is {got}. Keep the photo and send"
        " it again.",
    ),
    "photo-not-wanted": (
        409,
        "No entry of this phone names this photo. Send the entry that it is attached to first, then the photo.",
    ),
    "photo-format": (
        422,
        "The file is not a picture in JPEG, PNG or HEIC that can be read to its end ({why})."
        " Keep the original and take the picture again.",
    ),
    "photo-too-many-pixels": (
        422,
        "The picture has {got} million pixels; at most {most} are taken. Take it again at a lower resolution.",
    ),
    "photo-quota": (
        429,
        "This phone has sent {most} photos within a day, the most that are taken. Keep the photo; it is sent tomorrow.",
    ),
    "no-such-photo": (
        404,
        "No photo of that name is attached to a job sheet, or its bytes have not arrived yet. Sync the phone that"
        " took it, then look again.",
    ),
    "no-such-table": (404, "No table of that name is kept here. Get the list from /api/ring-sets."),
    "no-such-job": (404, "No job sheet of that id is here. It may still be on a phone: sync it, then look again."),
    "not-found": (404, "There is nothing at this address. Start again from / or /desk/."),
    "wrong-method": (405, "This address does not take {method}. Nothing was changed."),
    "refused": (400, "The request cannot be read: {why}. Nothing was stored; send it again."),
    "server-fault": (
        500,
        "The server failed at this request; nothing of it was stored, and the reason is in its log. Keep what you"
        " have and send it again later.",
    ),
}


class Problem(Exception):
    """A refusal from the catalogue. `details` are shown to the caller and fill the text."""

    def __init__(self, code: str, **details):
        self.code, self.details = code, details
        self.status, text = CATALOGUE[code]
        self.text = text.format(**details)
        super().__init__(self.text)


def problem_of(error: Exception) -> Problem:
    """Return the catalogue's problem for any exception that a view raised."""
    if isinstance(error, Problem):
        return error
    if isinstance(error, CSRFError):
        return Problem("csrf-failed", why=error.description.rstrip("."))
    if isinstance(error, RequestEntityTooLarge):
        return Problem("too-large", entries_mb=LARGEST_ENTRIES_BODY // MEGABYTE, photo_mb=LARGEST_PHOTO // MEGABYTE)
    if isinstance(error, HTTPException):
        if error.code == 404:
            return Problem("not-found")
        if error.code == 405:
            return Problem("wrong-method", method=request.method)
        if error.code < 500:
            return Problem("refused", why=error.name.lower())
    return Problem("server-fault")


def answer(error: Exception):
    """Return the HTTP answer: JSON under /api, a plain page elsewhere."""
    problem = problem_of(error)
    body = {"code": problem.code, "text": problem.text, "details": problem.details}
    if request.path.startswith("/api/"):
        return jsonify(error=body), problem.status
    return render_template("error.html", problem=problem), problem.status


def init_app(app: Flask) -> None:
    @app.errorhandler(Exception)
    def refuse(error):
        if problem_of(error).code == "server-fault":
            app.logger.error("%s %s failed", request.method, request.path, exc_info=error)
        return answer(error)
