"""The demo shop: its job sheets in their states, complete as far as they go, taken like a phone's."""

import json
import re
from pathlib import Path

import pytest

from server import create_app
from server.records.checklist import rows_of
from server.store import entries

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """The demo shop, made once: {registration: entries}, and its client."""
    app = create_app({"STORE_FOLDER": tmp_path_factory.mktemp("demo")})
    with app.extensions["database"].transaction() as connection:
        rows = entries.find_jobs(connection)
        sheets = {row["registration"]: (row, entries.entries_of_job(connection, row["id"])) for row in rows}
    yield sheets, app.test_client()
    app.extensions["database"].close()


def test_there_are_job_sheets_in_every_state(shop):
    sheets, _ = shop
    assert sorted(row["state"] for row, _ in sheets.values()) == ["open", "open", "signed", "signed", "stopped"]
    assert sum(row["conflicts"] for row, _ in sheets.values()) == 1
    slots = [{entry["slot"] for entry in found} for _, found in sheets.values()]
    assert sum("round.2.plan" in each for each in slots) == 1
    kinds = {entry["kind"] for _, found in sheets.values() for entry in found}
    assert {"hold-overridden", "photo-attached", "consent-recorded", "note-written"} <= kinds


def test_each_phone_counts_its_entries_without_a_gap(shop):
    sheets, _ = shop
    numbers = {}
    for _, found in sheets.values():
        for entry in found:
            numbers.setdefault(entry["device"], []).append(entry["n"])
    assert len(numbers) == 2
    for counted in numbers.values():
        assert sorted(counted) == list(range(1, len(counted) + 1))


def test_every_photo_of_a_live_entry_is_there_and_every_page_opens(shop):
    sheets, client = shop
    photos = 0
    for row, found in sheets.values():
        assert client.get(f"/desk/jobs/{row['id']}").status_code == 200
        for entry in found:
            if entry["kind"] == "photo-attached":
                photos += 1
                assert client.get(f"/api/photos/{entry['body']['sha256']}", buffered=True).status_code == 200
    assert photos >= 6


def test_a_signed_demo_job_answers_every_row_that_is_asked_of_everybody(shop):
    """Rows without a condition; when the checklist gains one, the demo answers it or this says which it does not.

    The demo's signed jobs were begun before the sheets, so rows that are new with the sheets are not asked of them.
    """
    sheets, _ = shop
    checklist = json.loads((ROOT / "pwa" / "checklist.json").read_text("utf-8"))
    a_wheel = {sheet["id"] for sheet in checklist["sheets"] if sheet.get("per") == "wheel"}
    asked = {
        row["id"]
        for row in rows_of(checklist)
        if row.get("required", True) and "when" not in row and row["type"] != "card" and row.get("per") != "wheel"
        if row["sheet"] not in a_wheel
    }
    asked -= set(checklist["not_in_checklist_1"])
    assert len(asked) > 20
    for row, found in [pair for pair in sheets.values() if pair[0]["state"] == "signed"]:
        answered = {entry["slot"] for entry in found} | {entry["body"].get("about") for entry in found}
        assert asked - answered == set(), row["registration"]


def test_the_three_ring_sets_differ_as_they_should(shop):
    _, client = shop
    sets = {row["id"]: row["ring_set"] for row in client.get("/api/ring-sets").json["ring_sets"]}
    assert [sets[name]["inner"]["marks"] for name in sorted(sets)] == [40, 54, 66]
    assert {sets[name]["inner"]["direction"] for name in sets} == {"clockwise", "counterclockwise"}
    assert {sets[name]["inner"]["marked_face_right"] for name in sets} == {"inboard", "outboard"}
    assert len({sets[name]["inner"]["taper_mdeg"] for name in sets}) == 3
    assert {sets[name]["inner"]["first_mark"] for name in sets} == {0, 1}
    assert [name for name in sorted(sets) if sets[name]["inner"] != sets[name]["outer"]] == ["demo-66"]


def test_registrations_and_vehicles_say_that_they_are_invented(shop):
    sheets, _ = shop
    for row, _ in sheets.values():
        assert re.fullmatch(r"DEMO \d{3}", row["registration"])
        assert row["vehicle"].endswith("(invented)")
