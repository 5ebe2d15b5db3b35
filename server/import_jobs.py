"""Reads the file that `export` writes as if it were a phone's: the same way in, so twice is once and nothing is lost.

The file names photos without their bytes; they are in a backup, or come from the phones.
"""

from server.bodies import read_json
from server.errors import Problem

PROGRAM = "tapermark"


def read_file(raw: bytes):
    """Return the content of a phone's file, or of an export in that form. Problem: `not-an-export`."""
    try:
        return as_phone_file(read_json(raw))
    except Problem as problem:
        raise Problem("not-an-export", why=problem.text.partition(".")[0]) from None


def as_phone_file(exported):
    """Return an export of job sheets in the form of a phone's file; anything else as it came, for others to judge."""
    if not (isinstance(exported, dict) and exported.get("program") == PROGRAM and _is_list(exported.get("jobs"))):
        return exported
    lists = [job["entries"] for job in exported["jobs"] if isinstance(job, dict) and _is_list(job.get("entries"))]
    return {
        "format": exported.get("format"),
        "exported_at": exported.get("made"),
        "entries": [entry for entries in lists for entry in entries],
        "photos": [],
    }


def _is_list(part) -> bool:
    return isinstance(part, list)
