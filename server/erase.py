"""Takes names, registrations and photos out of a job sheet for good, and leaves what was measured and done.

An entry stays as a shell: who, which car and whose money are gone, angles, plan, steps and times stay. It cannot reach
the phones and the backups that hold the same; the desk says so.
"""

import json
from dataclasses import dataclass

from sqlalchemy import Connection

from server.fold import KINDS
from server.store import entries, erasing
from server.summary import summary_of
from server.sync import as_kept

# Fields in which people write names or what leads to one. Answers of the checklist and angles stay.
PERSONAL_SLOTS = ("vehicle.registration", "vehicle.vin", "vehicle.complaint")
# Kinds whose bodies hold personal values -> those values' names
_PERSONAL_PARTS = {
    "consent-recorded": ("customer", "findings", "work"),
    "note-written": ("text",),
    "photo-attached": ("caption",),
    "job-stopped": ("awaited",),
}


@dataclass(frozen=True)
class Erased:
    """How much was taken out."""

    entries: int
    photos: int


def shell_of(entry: dict) -> dict:
    """Return the entry without its personal values, marked `erased`."""
    body = entry["body"]
    if entry["kind"] not in KINDS:
        body = {}  # of a later program: nobody here knows what in it is personal
    elif entry["kind"] == "field-set" and entry["slot"] in PERSONAL_SLOTS:
        body = {"value": None}
    else:
        parts = _PERSONAL_PARTS.get(entry["kind"], ())
        body = {key: "" if key in parts else part for key, part in body.items()}
    return entry | {"by": "", "body": body, "erased": True}


def erase_job(connection: Connection, job: str, now_ms: int) -> Erased:
    """Erase one job. The transaction must not have read or written yet: it takes the writers' turn first."""
    entries.take_turn(connection)
    shells = {row.id: shell_of(json.loads(row.raw)) for row in erasing.contents_of_job(connection, job)}
    photos = erasing.photos_of_job(connection, job)
    summary = summary_of(list(shells.values()))
    erasing.put_shells(connection, job, {key: as_kept(shell) for key, shell in shells.items()}, summary, now_ms)
    erasing.empty_what_was_set_aside(connection, job)
    return Erased(len(shells), erasing.remove_unnamed_photos(connection, photos))
