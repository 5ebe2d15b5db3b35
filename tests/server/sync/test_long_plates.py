"""A registration or VIN of any length breaks nothing: new ones are refused, those of an older program are shown."""

import pytest

from server.limits import LONGEST_PLATE
from server.records import entry_rules
from server.store import entries
from server.sync.derive import derive_due
from tests.server.databases import on_both_databases
from tests.server.phones import problem, sheet_text

LONG = "A1" * 25_000
SLOTS = ("vehicle.registration", "vehicle.vin")


def plate(phone, job, slot, text, **changes):
    return phone.entry(job, "field-set", {"value": text}, slot, **changes)


@pytest.fixture
def older():
    """Let a program take any length, as older ones did; a call ends that."""
    patch = pytest.MonkeyPatch()
    patch.setattr(entry_rules, "_rules_of", lambda entry: entry_rules._BODIES[entry["kind"]])
    yield patch.undo
    patch.undo()


@on_both_databases
@pytest.mark.parametrize("slot", SLOTS)
def test_more_than_a_plate_can_have_is_refused_and_kept_aside(phone, job, slot):
    fits, too_long = plate(phone, job, slot, "x" * LONGEST_PLATE), plate(phone, job, slot, "x" * (LONGEST_PLATE + 1))
    results = phone.sync([fits, too_long, plate(phone, job, slot, None)])["results"]
    assert [result["verdict"] for result in results] == ["accepted", "refused", "accepted"]
    assert f"expected at most {LONGEST_PLATE} characters" in results[1]["text"]


@on_both_databases
@pytest.mark.parametrize("slot", SLOTS)
def test_the_desk_opens_and_finds_what_an_older_program_took(app, phone, job, older, slot):
    phone.sync([plate(phone, job, slot, LONG), plate(phone, job, "vehicle.description", "Castelan Verro")])
    older()
    assert "Castelan Verro" in sheet_text(phone, job)
    listed = phone.client.get("/desk/?find=verro").text
    assert job in listed
    assert LONG not in listed
    with app.extensions["database"].transaction() as connection:
        row = entries.job_rows(connection, [job])[job]
        assert len(row["registration_keys"]) + len(row["vin_keys"]) <= LONGEST_PLATE + 3
        entries.change_jobs(connection, [{"id": job, "registration_keys": f" {LONG} ", "vin_keys": f" {LONG} "}])
    assert "Castelan Verro" in sheet_text(phone, job), "as an older program has derived it"
    assert phone.client.get(f"/desk/jobs/{job}/history").status_code == 200


@on_both_databases
def test_hundreds_of_different_registrations_of_one_job_open_too(app, phone, job):
    batch = [plate(phone, job, slot, f"AB {number}") for number in range(250) for slot in SLOTS]
    phone.sync(batch)
    phone.sync([plate(phone, job, slot, f"CD {number}") for number in range(250) for slot in SLOTS])
    derive_due(app.extensions["database"])
    assert phone.client.get(f"/desk/jobs/{job}").status_code == 200


@on_both_databases
def test_a_search_for_more_than_a_plate_can_have_is_answered_in_words(phone):
    answer = phone.client.get("/api/jobs", query_string={"registration": LONG})
    assert (answer.status_code, problem(answer)) == (400, "wrong-request")
    assert phone.client.get("/desk/", query_string={"find": LONG}).status_code == 200
