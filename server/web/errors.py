"""The catalogue of everything the server refuses, and the one place where a refusal becomes an HTTP answer.

Each text says what was wrong, what was expected and what to do next. Codes are stable: phones decide by them.
"""

from flask import Flask, jsonify, render_template, request
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, MethodNotAllowed, RequestEntityTooLarge

from server.limits import LARGEST_ENTRIES_BODY, LARGEST_IMPORT, LARGEST_PHOTO
from server.store.not_writable import why_not_writable
from server.web.fault_log import told

MEGABYTE = 1_000_000

# by these a photo is never taken as it is; not wanted counts, as its entry is held when it goes
PHOTO_REFUSED = (
    "photo-empty", "photo-different", "photo-format", "photo-not-wanted", "photo-too-many-pixels", "too-large",
)  # fmt: skip

# code -> (HTTP status, text). `{name}` is filled from the problem's details.
CATALOGUE = {
    "not-paired": (
        403,
        "This browser is not paired with the shop. {next}. What is on this phone stays on it.",
    ),
    "pairing-ended": (
        401,
        "The shop has ended the pairing of this phone. Nothing on it is lost: pair it again at the desk,"
        " or save what was not sent to a file.",
    ),
    "pair-code-wrong": (
        403,
        "This code does not pair a phone: it was mistyped, used already, or made more than"
        " {minutes} minutes ago. Compare it with the desk, or have a new one made there.",
    ),
    "too-many-tries": (
        429,
        "Too many tries have failed. Wait {seconds} seconds, then try again; the next wait after a failure is longer.",
    ),
    "sign-in-needed": (
        401,
        "You are no longer signed in. Sign in at /desk/sign-in, go back to the page, and send it again.",
    ),
    "sign-in-failed": (
        403,
        "Name and password do not match. Check both, and the caps lock key, and try again."
        " An owner of the shop can give you another password.",
    ),
    "https-needed": (
        403,
        "Passwords and codes are taken only over HTTPS, or on the server's own machine at http://127.0.0.1. Open the"
        " https:// address. Where a reverse proxy stands in front, the server has to be told: TAPERMARK_PROXIES=1.",
    ),
    "not-your-role": (
        403,
        "This page is for the role {least}, and you are signed in as {role}. Ask an owner of the shop.",
    ),
    "weak-password": (
        422,
        "The password was not accepted: {why}. It needs at least {shortest} characters that nobody can guess; a few"
        " unrelated words are best. Choose another.",
    ),
    "passwords-differ": (422, "The two passwords are not the same, and nothing was changed. Type both again."),
    "old-password-wrong": (403, "The present password is not right, and nothing was changed. Type it again."),
    "wrong-name": (
        422,
        "A name has 1 to {longest} printable characters; got {got}. Type it again.",
    ),
    "name-taken": (409, "There is a {name} already. Choose a name that tells the two apart, such as with a surname."),
    "wrong-role": (422, "The role is one of {expected}; got {got}. Choose one of them."),
    "last-owner": (
        409,
        "This is the only owner who can sign in, and without one nobody could look after the shop. Make another person"
        " an owner first.",
    ),
    "no-such-person": (404, "There is no such person. Start again from /desk/people."),
    "no-such-phone": (404, "There is no such phone. Start again from /desk/phones."),
    "no-such-import": (404, "There is no such file here. Start again from /desk/import."),
    "not-an-export": (
        422,
        "The file is not what a phone saves under Settings, Save what is not sent as a file ({why}). Choose that file,"
        " whole and unchanged; nothing of this one was taken in.",
    ),
    "no-logo": (404, "The shop has no logo for its reports. An owner adds one at the desk, under Report."),
    "no-certificate": (
        404,
        "This server has no certificate of its own. Make one on its machine: python -m server certificate.",
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
        "The JSON is nested too deep to read. Objects and lists may be at most {deepest} deep."
        " Nothing of it was stored. Bring the program that sent it up to date and send it again.",
    ),
    "not-text": (
        400,
        "The address or the form holds a character that is no text (NUL). Nothing of it was taken; type it again,"
        " rather than paste it.",
    ),
    "wrong-request": (
        400,
        "{field}: expected {expected}, got {got}. Nothing of the request was stored; correct it and send it again.",
    ),
    "too-large": (
        413,
        "The body is larger than this address takes: {got}. Entries: send fewer at a time, at most {entries_mb} MB."
        " Photos: at most {photo_mb} MB; take the picture again at a lower resolution."
        " Files from a phone: {import_mb} MB.",
    ),
    "too-many-bodies": (
        429,
        "This sender already has as many bodies on the way as are read at once. Nothing of this one was stored."
        " Send it again when the others are through.",
    ),
    "body-too-slow": (
        408,
        "The body did not arrive whole in time. Nothing of it was stored. Send it again, all of it, over a better"
        " connection.",
    ),
    "store-full": (
        507,
        "The disk of the shop's server is full, and nothing of this was stored. What is on a phone stays on it. Make"
        " room on the server's disk, then send it again.",
    ),
    "store-read-only": (
        507,
        "The store of the shop's server cannot be written, and nothing of this was stored. What is on a phone stays on"
        " it. Have the server's disk looked at, then send it again.",
    ),
    "photo-name": (
        404,
        "A photo's address ends in its SHA-256, 64 digits from 0-9 and a-f; got {got}. Check the address.",
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
    "no-such-table": (404, "No table is kept here under the name {got}. Get the list from /api/ring-sets."),
    "no-such-job": (404, "No job sheet of that id is here. It may still be on a phone: sync it, then look again."),
    "nothing-to-settle": (
        409,
        "There are no longer two answers to settle in that place: somebody has settled it, or a newer entry holds."
        " Open the job sheet again and look.",
    ),
    "not-kept": (
        422,
        "The desk's own entry was not kept: {why} Open the job sheet again and try once more.",
    ),
    "erase-needs-reason": (
        422,
        "Nothing was erased. It needs who asked for it or why, in words, and the tick that says you mean it."
        " Go back and fill in both.",
    ),
    "no-such-ring-set": (404, "No ring set of that name and revision is here. Get the list from /desk/rings/."),
    "no-such-place": (404, "No place of that name is in use here. Get the list from /desk/at-hand."),
    "no-such-type": (404, "No vehicle type of that name is here. Get the list from /desk/types/."),
    "no-such-proposal": (
        404,
        "This proposal is no longer waiting: somebody has decided on it, or its job was opened again. Nothing was"
        " changed. Look at /desk/types/ again.",
    ),
    "no-such-recheck": (
        404,
        "This job sheet no longer asks for that recheck; nothing was changed. Look at /desk/rechecks again.",
    ),
    "not-found": (404, "There is nothing at this address. Start again from / or /desk/."),
    "wrong-method": (
        405,
        "This address takes {expected}, and not {method}. Nothing was changed. Start again from / or /desk/.",
    ),
    "refused": (400, "The request cannot be read: {why}. Nothing was stored; send it again."),
    "server-fault": (
        500,
        "The server failed on this request; nothing of it was stored, and the reason is in its log. Keep what you"
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
        return Problem(
            "too-large",
            got=f"{request.content_length / MEGABYTE:.1f} MB" if request.content_length else "of no stated length",
            entries_mb=LARGEST_ENTRIES_BODY // MEGABYTE,
            photo_mb=LARGEST_PHOTO // MEGABYTE,
            import_mb=LARGEST_IMPORT // MEGABYTE,
        )
    if isinstance(error, HTTPException):
        if error.code == 404:
            return Problem("not-found")
        if error.code == 405:
            return Problem("wrong-method", method=request.method, expected=", ".join(sorted(error.valid_methods or ())))
        if error.code < 500:
            return Problem("refused", why=error.name.lower())
    return Problem(why_not_writable(error) or "server-fault")


def headers_of(problem: Problem) -> dict[str, str]:
    """Return what an answer with this problem says in its headers."""
    return {"Retry-After": str(problem.details["seconds"])} if problem.code == "too-many-tries" else {}


def answer(error: Exception):
    """Return the HTTP answer: JSON under /api, a plain page elsewhere."""
    problem = problem_of(error)
    body = {"code": problem.code, "text": problem.text, "details": problem.details}
    headers = headers_of(problem)
    if isinstance(error, MethodNotAllowed):
        headers["Allow"] = ", ".join(sorted(error.valid_methods or ()))
    if request.path.startswith("/api/"):
        return jsonify(error=body), problem.status, headers
    return render_template("error.html", problem=problem), problem.status, headers


def init_app(app: Flask) -> None:
    @app.errorhandler(Exception)
    def refuse(error):
        if problem_of(error).code == "server-fault":
            app.logger.error(told(request, error))
        return answer(error)
