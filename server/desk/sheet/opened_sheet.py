"""Opens one job sheet from the store, for every page that shows one. It says and decides nothing."""

from flask import current_app

from server.desk.sheet.job_entries import records_of
from server.desk.sheet.sheet import Sheet
from server.desk.words.texts import texts_of
from server.records.spreads import SPREAD, reading_sds
from server.store import photos, rings, settings


def sheet_of(connection, job: str) -> Sheet:
    """Problem: `no-such-job`."""
    records = records_of(connection, job)
    named = [r.entry["body"]["sha256"] for r in records if r.entry["kind"] == "photo-attached"]
    ring_sets = {row["table"]: row for row in rings.all_sets(connection)}
    held = photos.held_of(connection, named)
    sds = reading_sds(settings.get(connection, SPREAD))
    return Sheet(records, held, ring_sets, texts_of(current_app.config["PWA_FOLDER"]), sds)
