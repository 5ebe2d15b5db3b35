"""What is fitted in each vehicle, by its newest signed job: for the phones, and at the desk by registration or VIN."""

import time

import pytest
from sqlalchemy import insert, select

from fixtures.golden import make_installed
from server.api import fittings as api
from server.records import job_facts
from server.store import entries, fittings, memory_schema
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.desk.test_recall import job_row
from tests.server.past_jobs import PastJob
from tests.server.phones import Phone

VIN = "WTM0000000X123456"
JOBS, MOST_MS = 10_000, 1_000


class Asking:
    """A phone that keeps what it is told, as the phone's own store will."""

    def __init__(self, phone):
        self.phone, self.next, self.known = phone, {"epoch": "", "at": 0}, {}

    def ask(self):
        answer = self.phone.client.get("/api/fittings", query_string=self.next)
        assert answer.status_code == 200, answer.text
        self.next = answer.json["next"]
        self.known |= {each["job"]: each for each in answer.json["fittings"]}
        return answer.json["fittings"]

    def of(self, what, key):
        digest = api.vehicle_digest(self.next["epoch"], what, key)
        return [each["job"] for each in self.known.values() if digest in each["keys"]]


@pytest.fixture
def asking(phone):
    return Asking(phone)


def with_pair(phone, *marks, **of):
    past = PastJob(phone, **of)
    past.plan(1, left=("demo-54", *marks))
    return past.tick("fit.left.rings-in")


def shown(phone, find):
    answer = phone.client.get("/desk/vehicles", query_string={"find": find})
    assert answer.status_code == 200, answer.text
    return answer.text


def test_the_golden_file_is_what_its_generator_makes():
    assert make_installed.PATH.read_text("utf-8") == make_installed.golden_text()


@on_both_databases
def test_a_phone_hears_what_is_in_without_hearing_whose_car_it_is(phone, asking):
    first = with_pair(phone, 12, 31, registration="AB-12 cd", vin=VIN).sign()
    open_one = with_pair(phone, 1, 2, registration="EF 3").send()
    (told,) = asking.ask()
    assert (told["job"], told["right"], told["day"]) == (first, None, "2026-11-25")
    assert (told["left"]["ring_set"], told["left"]["pair"], told["left"]["seen"]) == ("demo-54", [12, 31], True)
    assert asking.of("registration", "AB12CD") == asking.of("vin", VIN) == [first]
    assert not {"AB12CD", VIN} & set(str(told).split("'"))
    assert asking.ask() == []
    again = with_pair(phone, 13, 30, registration="NEW 1", vin=VIN.lower()).sign()
    assert {each["job"]: bool(each["keys"]) for each in asking.ask()} == {first: False, again: True}
    assert asking.of("vin", VIN) == [again]
    assert open_one not in asking.known


@on_both_databases
def test_reopening_and_erasing_bring_the_job_before_back(app, clock, phone, asking):
    first = with_pair(phone, 12, 31, registration="AB 1").sign()
    second = with_pair(phone, 13, 30, registration="ab1")
    second.sign()
    asking.ask()
    assert asking.of("registration", "AB1") == [second.job]
    sheet = phone.client.get(f"/api/jobs/{second.job}/entries").json["entries"]
    signed = [entry["id"] for entry in sheet if entry["kind"] == "job-signed"]
    phone.sync([phone.entry(second.job, "job-reopened", {"reopens": signed, "reason": "rattles"})])
    asking.ask()
    assert asking.of("registration", "AB1") == [first]
    assert asking.known[second.job]["left"] is None
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, first, clock())
    asking.ask()
    assert asking.of("registration", "AB1") == []
    assert asking.known[first] == asking.known[first] | {"keys": [], "left": None, "right": None, "day": None}


def test_a_plate_that_was_moved_to_another_vehicle_leaves_the_first_known_by_its_vin(phone, asking):
    first = with_pair(phone, 12, 31, registration="AB 1", vin=VIN).sign()
    second = with_pair(phone, 1, 2, registration="AB 1", vin="WTM0000000X999999").sign()
    asking.ask()
    assert (asking.of("vin", VIN), asking.of("vin", "WTM0000000X999999")) == ([first], [second])
    assert asking.of("registration", "AB1") == [second]
    third = with_pair(phone, 3, 4, registration="AB 1").sign()
    asking.ask()
    assert asking.of("vin", VIN) == [first], "the third is of the vehicle that had the plate last"
    assert asking.of("registration", "AB1") == [third]
    assert asking.of("vin", "WTM0000000X999999") == []


def test_another_epoch_is_told_all_and_nonsense_breaks_nothing(phone, asking):
    with_pair(phone, 12, 31).sign()
    asking.ask()
    assert asking.ask() == []
    for at in ("9" * 30, "-1", "x", ""):
        assert phone.client.get(f"/api/fittings?epoch={asking.next['epoch']}&at={at}").status_code == 200
    asking.next = asking.next | {"epoch": "another"}
    assert len(asking.ask()) == 1


@on_both_databases
def test_the_desk_shows_a_vehicle_by_registration_or_vin_and_a_job_sheet_leads_there(phone):
    past = with_pair(phone, 12, 31, registration="AB-12 cd", vin=VIN)
    past.tick("fit.left.bolt-length", length={"new": True, "length_mm": 45, "class": "10.9", "outcome": "fits"})
    job = past.set("prepare.left.ring-lot", "B-2207").sign()
    other = PastJob(phone, "AB 12 CDE").send()
    for find in ("ab12CD", VIN.lower()):
        text = shown(phone, find)
        assert job in text
        assert other not in text
        assert "12 meets 31" in text
        assert "new, 45 mm, class 10.9" in text
        assert "Left, rings: B-2207" in text
        assert "is not signed" not in text
    later = PastJob(phone, "AB12CD").send()
    text = shown(phone, "AB 12 CD")
    assert text.index("is not signed") < text.index(later) < text.index("Fitted now")
    assert "/desk/vehicles?find=AB-12+cd" in phone.client.get(f"/desk/jobs/{job}").text
    assert "No job sheet of “ZZ 9” is here" in shown(phone, "ZZ 9")


@on_both_databases
def test_ten_thousand_vehicles_are_asked_for_page_by_page_and_one_is_found_at_once(app):
    phone = Phone(app)
    jobs = [job_row(n) | {"facts_version": job_facts.VERSION} for n in range(JOBS)]
    with app.extensions["database"].transaction() as connection:
        entries.add_jobs(connection, jobs)
        keys = [{"job": job["id"], "what": "registration", "key": f"TM{n:05}"} for n, job in enumerate(jobs)]
        connection.execute(insert(memory_schema.vehicle_key), keys)
        rows = [
            {"job": job["id"], "at": n + 1, "signed_seq": n, "left_in": None, "newest": True,
             "keys": f'[["registration", "TM{n:05}"]]', "left": None, "right": None, "day": "2026-11-25"}
            for n, job in enumerate(jobs)
        ]  # fmt: skip
        connection.execute(insert(memory_schema.fitting), rows)
    asking, pages = Asking(phone), []
    while page := asking.ask():
        pages.append(len(page))
    assert (pages, len(asking.known)) == ([5_000, 5_000], JOBS)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        with app.extensions["database"].transaction() as connection:
            (found,) = fittings.of_vehicle(connection, "TM00077", 50)
        times.append((time.perf_counter() - start) * 1000)
    assert found["id"] == jobs[77]["id"]
    assert min(times) < MOST_MS / 10, times


def test_many_jobs_under_one_placeholder_are_settled_in_one_go(app, phone):
    """A shop types "TEST" as a registration: each signature must not cost what all of them together do."""
    for _ in range(40):
        PastJob(phone, "TEST").sign()
    asking = Asking(phone)
    asking.ask()
    assert len(asking.of("registration", "TEST")) == 1
    with app.extensions["database"].transaction() as connection:
        assert len(list(connection.scalars(select(memory_schema.fitting.c.job)))) == 40
