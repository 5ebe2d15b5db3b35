"""Closed jobs stop coming after 30 days, and come whole to every phone as soon as anything comes for them."""

import random
import uuid

import pytest

from server.limits import DAY_MS
from tests.server.databases import on_both_databases
from tests.server.phones import Phone
from tests.server.sync.test_pull import open_job, sign

pytestmark = on_both_databases


def test_a_closed_job_stops_coming_30_days_after_its_last_change(clock, phone, app):
    job = open_job(phone)
    sign(phone, job)
    clock.now_ms += 30 * DAY_MS
    assert len(Phone(app).sync_all()) == 2
    clock.now_ms += 1
    assert Phone(app).sync_all() == []


def test_an_open_job_comes_however_old_it_is(clock, phone, app):
    open_job(phone)
    clock.now_ms += 900 * DAY_MS
    assert len(Phone(app).sync_all()) == 1


def test_a_phone_that_was_away_longer_still_gets_the_end_of_its_jobs(clock, phone, second_phone):
    job = open_job(phone)
    assert len(second_phone.sync_all()) == 1
    last = sign(phone, job)
    clock.now_ms += 60 * DAY_MS
    assert last in second_phone.sync_all()


def test_a_job_reopened_after_a_year_comes_whole(clock, phone, second_phone):
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 365 * DAY_MS
    assert second_phone.sync_all() == []
    other = open_job(phone)  # moves the second phone's place beyond the old job
    assert [e["job"] for e in second_phone.sync_all()] == [other]
    reopened = phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})
    phone.sync([reopened])
    came = second_phone.sync_all()
    assert len(came) == 3
    assert {e["job"] for e in came} == {job}
    assert came[-1] == reopened


def test_the_place_is_the_newest_entry_though_it_is_of_a_closed_old_job(clock, phone, second_phone):
    second_phone.sync()
    job = open_job(phone)
    last = sign(phone, job)
    clock.now_ms += 31 * DAY_MS
    answer = second_phone.sync()
    assert answer["entries"] == []
    assert (answer["next"]["seq"], answer["next"]["id"]) == (2, last["id"])
    assert second_phone.sync()["restart"] is False


def test_an_old_job_that_was_passed_over_comes_whole_as_soon_as_anything_comes_for_it(clock, phone, second_phone):
    second_phone.sync()
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 31 * DAY_MS
    second_phone.sync()
    late = phone.entry(job)
    phone.sync([late])
    assert [e["id"] for e in second_phone.sync_all()][1:] == [signed["id"], late["id"]]
    reopened = phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})
    phone.sync([reopened, *(phone.entry(job) for _ in range(3))])
    came = second_phone.sync_all()
    assert (len(came), came[-4]) == (7, reopened)


def test_a_phone_that_reopens_a_job_that_it_was_passed_over_gets_it_whole(clock, phone, second_phone):
    """It knows the job from a search; its own place is beyond it, at the newest entry."""
    second_phone.sync()
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 31 * DAY_MS
    second_phone.sync()
    mine = second_phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})
    assert [e["kind"] for e in second_phone.sync([mine])["entries"]] == ["job-opened", "job-signed"]


def test_a_job_passed_over_by_a_clock_that_ran_ahead_comes_whole(clock, phone, second_phone):
    second_phone.sync()
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 3650 * DAY_MS
    assert second_phone.sync()["entries"] == []
    clock.now_ms -= 3650 * DAY_MS
    late = phone.entry(job)
    phone.sync([late])
    assert [e["id"] for e in second_phone.sync_all()][1:] == [signed["id"], late["id"]]


def test_a_reopened_job_comes_whole_although_the_page_is_cut_before_it(clock, phone, second_phone):
    second_phone.sync()
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 31 * DAY_MS
    second_phone.sync()
    other = str(uuid.uuid4())
    phone.sync([phone.entry(other) for _ in range(500)])
    phone.sync([phone.entry(other), phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})])
    first = second_phone.sync()
    assert (len(first["entries"]), first["more"]) == (500, True)
    assert [e["kind"] for e in second_phone.sync_all() if e["job"] == job] == [
        "job-opened",
        "job-signed",
        "job-reopened",
    ]


@pytest.mark.parametrize("seed", range(6))
def test_whatever_happens_every_phone_holds_every_open_job_whole(clock, app, seed):
    """Phones write, sign, reopen and ask in any order while the server's clock goes on and jumps."""
    rng = random.Random(seed)
    phones, held, sent, signed = [Phone(app) for _ in range(3)], [{}, {}, {}], {}, {}
    jobs = [str(uuid.uuid4()) for _ in range(5)]
    for _ in range(70):
        which = rng.randrange(3)
        phone, job, batch = phones[which], rng.choice(jobs), []
        match rng.choice(["ask", "ask", "write", "write", "sign", "reopen", "wait", "jump back"]):
            case "write":
                batch = [phone.entry(job) for _ in range(rng.randint(1, 4))]
            case "sign":
                batch = [phone.entry(job, "job-signed", {"covers": []})]
                signed.setdefault(job, []).append(batch[0]["id"])
            case "reopen" if signed.get(job):
                batch = [phone.entry(job, "job-reopened", {"reopens": signed.pop(job), "reason": "rattles"})]
            case "wait":
                clock.now_ms += rng.choice([DAY_MS, 20 * DAY_MS, 40 * DAY_MS])
            case "jump back":
                clock.now_ms -= rng.choice([DAY_MS, 35 * DAY_MS])
        sent.update({entry["id"]: entry for entry in batch})
        held[which].update({entry["id"]: entry for entry in [*phone.sync_all(batch), *batch]})
    for phone, mine in zip(phones, held, strict=True):
        mine.update({entry["id"]: entry for entry in phone.sync_all()})
        open_ids = {i for i, entry in sent.items() if entry["job"] not in signed}
        assert open_ids <= mine.keys()


def test_a_first_pull_after_a_revival_brings_every_entry_once(clock, phone, app):
    job = open_job(phone)
    signed = sign(phone, job)
    clock.now_ms += 365 * DAY_MS
    phone.sync([phone.entry(job, "job-reopened", {"reopens": [signed["id"]], "reason": "rattles"})])
    ids = [e["id"] for e in Phone(app).sync_all()]
    assert len(ids) == len(set(ids)) == 3
