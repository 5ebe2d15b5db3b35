"""Summaries of job sheets are derived when they are read: lists and searches show what was saved, whatever is due."""

import uuid

import pytest

from server.store import entries, search
from server.sync.derive import derive_due
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.phones import Phone, sheet_text

REGISTRATION, VIN = "vehicle.registration", "vehicle.vin"


def field(phone, job, slot, value, **changes):
    return phone.entry(job, "field-set", {"value": value}, slot, **changes)


def row_of(app, job):
    with app.extensions["database"].transaction() as connection:
        return entries.job_rows(connection, [job])[job]


def listed(phone, **query):
    return phone.client.get("/desk/", query_string=query).text


@on_both_databases
def test_list_search_and_phones_find_what_was_just_saved(phone, second_phone, job):
    first = field(phone, job, REGISTRATION, "OLD 1")
    phone.sync([first])
    assert job in listed(phone, find="OLD 1")
    second_phone.sync([field(second_phone, job, REGISTRATION, "NEW 22", after=[first["id"]], by="Jonah Brask")])
    assert job in listed(phone, find="new22")
    assert job in listed(phone, find="brask")
    assert job not in listed(phone, find="OLD 1")
    second_phone.sync([field(second_phone, job, REGISTRATION, "NEW 23", after=[first["id"]])])
    (row,) = phone.client.get("/api/jobs?registration=new23").json["jobs"]
    assert (row["id"], row["conflicts"]) == (job, 1)
    assert phone.client.get("/api/jobs?registration=old1").json["jobs"] == []


@on_both_databases
def test_earlier_jobs_of_a_vehicle_are_found_though_nobody_has_looked_at_either(phone):
    jobs = [str(uuid.uuid4()) for _ in range(2)]
    for job in jobs:
        phone.sync([field(phone, job, VIN, "WTM 0000000X123456")])
    assert jobs[0] in phone.client.get(f"/desk/jobs/{jobs[1]}").text
    assert sheet_text(phone, jobs[1])


@on_both_databases
def test_a_save_derives_nothing_and_a_signature_the_state_at_once(app, phone, job):
    phone.sync([field(phone, job, REGISTRATION, "AB 1")])
    assert row_of(app, job)["found_by"] is None
    signed = phone.entry(job, "job-signed", {"covers": []})
    phone.sync([signed])
    assert (row_of(app, job)["state"], row_of(app, job)["registration"]) == ("signed", "AB 1")
    phone.sync([phone.entry(job)])
    assert (row_of(app, job)["state"], row_of(app, job)["found_by"]) == ("signed", None)
    phone.sync([phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})])
    assert row_of(app, job)["state"] == "open"


@on_both_databases
@pytest.mark.parametrize("kind", ["field-set", "weighed-again"])
def test_what_stands_in_the_slot_of_a_signature_decides_at_once_too(app, phone, job, kind):
    """Odd, but the fold counts it: the signature no longer holds, and the job must reach the phones again."""
    signed = phone.entry(job, "job-signed", {"covers": []})
    phone.sync([phone.entry(job), signed])
    assert row_of(app, job)["state"] == "signed"
    phone.sync([phone.entry(job, kind, {"value": 1}, signed["id"], after=[signed["id"]])])
    assert row_of(app, job)["state"] == "open"


@on_both_databases
def test_what_comes_while_a_job_is_derived_leaves_it_due(app, phone, job):
    phone.sync([field(phone, job, REGISTRATION, "AB 1")])
    database = app.extensions["database"]
    with database.snapshot() as connection:
        read = search.not_derived_among(connection, [job])[job]
    phone.sync([field(phone, job, VIN, "X9")])
    with database.transaction() as connection:
        search.keep_derived(connection, [{"id": job, **read, "found_by": "from before"}])
    assert row_of(app, job)["found_by"] is None
    derive_due(database)
    assert row_of(app, job)["found_by"] == "ab 1 x9 ines tavell"


@on_both_databases
def test_what_was_erased_while_a_job_was_derived_stays_erased(app, clock, phone, job):
    phone.sync([field(phone, job, REGISTRATION, "AB 1")])
    database = app.extensions["database"]
    with database.snapshot() as connection:
        read = search.not_derived_among(connection, [job])[job]
    with database.transaction() as connection:
        erase_job(connection, job, clock())
    with database.transaction() as connection:
        search.keep_derived(connection, [{"id": job, **read, "found_by": "ab 1", "state": "open"}])
    row = row_of(app, job)
    assert (row["state"], row["registration"], "ab 1" in row["found_by"]) == ("erased", "", False)


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_more_jobs_than_are_derived_at_once_are_all_derived(app):
    phone = Phone(app)
    phone.sync([field(phone, str(uuid.uuid4()), REGISTRATION, f"AB {number}") for number in range(230)])
    derive_due(app.extensions["database"])
    with app.extensions["database"].transaction() as connection:
        assert search.not_derived(connection) == []
    assert "230 job sheets" in listed(phone)
