"""Takes in the file that a phone saves of what it could not send, or the one that `export` writes. No Flask.

An export is read as if it were a phone's. It names photos without their bytes; those are in a backup, or come from the
phones. The entries come under a pairing of their own, which stands for the file: so each stays recognisable as
imported, by whom and when. Twice is once. What else the file holds (values that could not be saved) is kept to be read.
"""

import base64
import binascii
import json
import uuid
from collections import Counter

from server.limits import MOST_ENTRIES
from server.photos import pictures
from server.photos.keep_photo import keep_picture, name_of, put_ahead
from server.records.entry_rules import is_sha256, is_uuid
from server.store import Database, audit_lines, imports, photos, shops
from server.sync.take_entries import take
from server.transfer.progress import Progress, unheard
from server.web.bodies import read_json
from server.web.errors import Problem

EXPORT_FORMAT = 1
_PROGRAM = "tapermark"
_LONGEST_TIME = 40  # characters


def read_file(raw: bytes):
    """Return the content of a phone's file, or of an export in that form. Problem: `not-an-export`."""
    try:
        return _as_phone_file(read_json(raw))
    except Problem as problem:
        raise Problem("not-an-export", why=problem.text.partition(".")[0]) from None


def _as_phone_file(exported):
    """Return an export of job sheets in the form of a phone's file; anything else as it came, for others to judge."""
    if not (
        isinstance(exported, dict) and exported.get("program") == _PROGRAM and isinstance(exported.get("jobs"), list)
    ):
        return exported
    jobs = [job for job in exported["jobs"] if isinstance(job, dict) and isinstance(job.get("entries"), list)]
    return {
        "format": exported.get("format"),
        "exported_at": exported.get("made"),
        "entries": [entry for job in jobs for entry in job["entries"]],
        "photos": [],
    }


def take_in(database: Database, exported, by: str, address: str, now_ms: int, progress: Progress = unheard) -> str:
    """Take in a file, as parsed JSON, and return the id under which its outcome is kept. Problem: `not-an-export`.

    Phones are served between its parts; what is cut off half-way is taken in whole by a second time.
    """
    _check(exported)
    batch, named = exported["entries"], exported["photos"]
    device = exported.get("device") if is_uuid(exported.get("device")) else str(uuid.uuid4())
    file_id, pairing = _open(database, exported, device, by, address, now_ms)
    results, pictures_taken = [], []
    for start in range(0, len(batch), MOST_ENTRIES):
        part = batch[start : start + MOST_ENTRIES]
        with database.transaction() as connection:
            taken = take(connection, pairing, device, part, now_ms).results
        results += [_with_job(result, entry) for result, entry in zip(taken, part, strict=True)]
        progress(len(results), len(batch) + len(named))
    for photo in named:
        pictures_taken.append(_take_photo(database, pairing, photo, now_ms))
        progress(len(batch) + len(pictures_taken), len(batch) + len(named))
    with database.transaction() as connection:
        imports.set_outcome(connection, file_id, json.dumps({"entries": results, "photos": pictures_taken}))
    return file_id


def _open(database: Database, exported: dict, device: str, by: str, address: str, now_ms: int) -> tuple[str, str]:
    """Note the file before anything comes in; return (its id, the pairing that stands for it).

    Until the outcome is known it is empty: by that a file shows that was cut off half-way.
    """
    file_id = str(uuid.uuid4())
    row = {"id": file_id, "at_ms": now_ms, "by": by, "device": device, "exported_at": exported["exported_at"]}
    with database.transaction() as connection:
        pairing = shops.add_pairing(connection, f"File taken in by {by}", now_ms, by)
        imports.add(connection, row | {"outcome": "{}", "left_over": json.dumps(exported.get("rescued") or [])})
        imports.bind(connection, pairing, file_id, now_ms)
        about = f"{len(exported['entries'])} entries, {len(exported['photos'])} photos"
        audit_lines.add(connection, "file-imported", by, address, about, now_ms)
    return file_id, pairing


def counts_of(outcome: dict) -> list[tuple[str, str, int]]:
    """Return (entries or photos, verdict, how many) of what became of a file."""
    found = Counter((what, part["verdict"]) for what, parts in outcome.items() for part in parts)
    return [(what, verdict, number) for (what, verdict), number in found.items()]


def refused_of(outcome: dict) -> list[dict]:
    return [part for parts in outcome.values() for part in parts if part["verdict"] == "refused"]


def _with_job(result: dict, entry) -> dict:
    """By the job, erasing finds what a refusal quotes from an entry."""
    job = entry.get("job") if isinstance(entry, dict) else None
    return result | {"job": job} if is_uuid(job) else result


def _check(exported) -> None:
    if not isinstance(exported, dict):
        raise Problem("not-an-export", why="it is no JSON object")
    if exported.get("format") != EXPORT_FORMAT:
        raise Problem("not-an-export", why=f"format {EXPORT_FORMAT} was expected")
    for part in ("entries", "photos"):
        if not isinstance(exported.get(part), list):
            raise Problem("not-an-export", why=f"its list of {part} is missing")
    if not _is_short_text(exported.get("exported_at")):
        raise Problem("not-an-export", why="it does not say when it was saved")


def _is_short_text(part) -> bool:
    """Printable, so that any store keeps it and any page shows it: no NUL, and no half of a character."""
    return isinstance(part, str) and len(part) <= _LONGEST_TIME and part.isprintable()


def _take_photo(database: Database, pairing: str, photo, now_ms: int) -> dict:
    """Return {"sha256", "verdict", "text"}: accepted, already or refused."""
    fields = photo if isinstance(photo, dict) else {}
    name = fields.get("sha256") if is_sha256(fields.get("sha256")) else None
    try:
        verdict = _keep(database, pairing, name, _bytes_of(fields.get("base64")), now_ms)
    except Problem as problem:
        return {"sha256": name, "verdict": "refused", "text": problem.text}
    return {"sha256": name, "verdict": verdict, "text": ""}


def _bytes_of(text) -> bytes:
    try:
        return base64.b64decode(text, validate=True) if isinstance(text, str) else b""
    except binascii.Error:
        return b""


def _keep(database: Database, pairing: str, name: str | None, content: bytes, now_ms: int) -> str:
    if not content:
        raise Problem("photo-empty")
    if (got := name_of(content)) != name:
        raise Problem("photo-different", got=got)
    with database.transaction() as connection:
        if not photos.jobs_with(connection, name):
            raise Problem("photo-not-wanted")
        if photos.held_of(connection, [name]):
            return "already"
    picture = pictures.re_encode(content)
    put_ahead(database, picture)
    with database.alone() as connection:
        if photos.held_of(connection, [name]):
            return "already"
        keep_picture(connection, pairing, name, picture, now_ms)
    return "accepted"
