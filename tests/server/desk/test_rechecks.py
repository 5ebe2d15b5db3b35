"""Fasteners to recheck: due when a signed job says so, in order of urgency, and done with a name."""

import time

import pytest
from sqlalchemy import insert

from fixtures.golden import make_recheck
from server.records import job_facts
from server.store import entries, memory_schema
from tests.server.databases import on_both_databases
from tests.server.demo_desk import words_of
from tests.server.desk.test_recall import job_row
from tests.server.desks import FarPhone
from tests.server.past_jobs import PastJob
from tests.server.phones import problem, sheet_text

JOBS = 10_000
MOST_MS = 100  # of the processor's time, this list's share; measured: server/README.md
ODOMETER = {"number": 99310, "text": "99310", "unit": "km"}


def asks(distance=None, day=None, source="service-information", page="sheet 12", unit="km"):
    distance = distance and {"number": distance, "text": str(distance), "unit": unit}
    return {"recheck": {"distance": distance, "day": day, "source": source, "page": page}}


def listed(phone):
    answer = phone.client.get("/desk/rechecks")
    assert answer.status_code == 200, answer.text
    return answer.text


def press_done(phone, job, recheck, by="Jonah Brask"):
    fields = {"csrf_token": phone.token(), "recheck": recheck, "by": by}
    return phone.client.post(f"/desk/rechecks/{job}/done", data=fields)


def test_the_golden_file_is_what_its_generator_makes():
    assert make_recheck.PATH.read_text("utf-8") == make_recheck.golden_text()


@on_both_databases
def test_what_is_due_stands_there_the_most_urgent_first_until_somebody_did_it(phone, clock):
    clock.now_ms = 1_795_600_000_000  # 2026-11-25
    far = PastJob(phone, "FAR 1").set("vehicle.odometer", ODOMETER).set("finish.recheck-after", asks(80)).sign()
    late = PastJob(phone, "LATE 1").set(
        "finish.recheck-after", asks(day="2026-11-20", source="common-practice", page="")
    )
    asked = late.entries[-1]["id"]
    late = late.sign()
    soon = PastJob(phone, "SOON 1").set("finish.recheck-after", asks(50, "2026-12-24", unit="mi")).sign()
    never = PastJob(phone, "NOT 1").set("finish.recheck-after", None).sign()
    unsigned = PastJob(phone, "OPEN 1").set("finish.recheck-after", asks(80)).send()
    text = listed(phone)
    assert text.index(late) < text.index(soon) < text.index(far)
    assert never not in text
    assert unsigned not in text
    words = words_of(phone.client.get("/desk/rechecks"))
    assert "2026-11-20 overdue common practice, no source" in words
    assert "2026-12-24 , or after 50 mi service information, sheet 12" in words
    assert "after 80 km, by 99390 km" in words
    assert press_done(phone, late, asked).status_code == 303
    text = listed(phone)
    assert (late in text, soon in text) == (False, True)
    assert "Recheck of the fasteners, done by Jonah Brask, 2026-11-25" in sheet_text(phone, late)
    assert "noted a recheck as done" in phone.client.get("/desk/audit").text


@on_both_databases
def test_what_is_asked_for_again_is_due_again_and_of_two_phones_answers_both_are(phone, second_phone, job):
    past = PastJob(phone, "AB 1", job=job).set("finish.recheck-after", asks(80))
    first = past.entries[-1]["id"]
    past.sign()
    assert press_done(phone, job, first).status_code == 303
    assert job not in listed(phone)
    second_phone.sync([second_phone.entry(job, "field-set", {"value": asks(100)}, "finish.recheck-after")])
    assert listed(phone).count("after 100 km") == 1
    assert "after 80 km" not in listed(phone), "what was done stays done"
    assert press_done(phone, job, first).status_code == 303
    (again,) = (
        e for e in phone.client.get(f"/api/jobs/{job}/entries").json["entries"] if e["device"] == second_phone.device
    )
    assert press_done(phone, job, again["id"]).status_code == 303
    assert job not in listed(phone)


@pytest.mark.parametrize("value", [
    {"recheck": 7}, {"recheck": {"day": "soon", "distance": 80, "source": ["x"], "page": 3}}, "text", [1],
    {"recheck": {"distance": {"number": True, "text": 5, "unit": "km"}}},
    {"recheck": {"distance": {"number": 1e300, "text": "9", "unit": "km"}}},
])  # fmt: skip
def test_a_value_of_another_program_breaks_no_page(phone, value):
    job = PastJob(phone, "AB 1").set("finish.recheck-after", value).set("finish.recheck-done", {"recheck_of": 3}).sign()
    assert phone.client.get("/desk/rechecks").status_code == 200
    assert phone.client.get(f"/desk/jobs/{job}").status_code == 200


def test_what_is_not_asked_for_and_a_name_that_is_none_are_refused(phone, job):
    past = PastJob(phone, "AB 1", job=job).set("finish.recheck-after", asks(80))
    asked = past.entries[-1]["id"]
    past.sign()
    assert press_done(phone, job, job).status_code == 404
    assert press_done(phone, job, asked, by=" ").status_code == 422
    assert press_done(phone, "0" * 36, asked).status_code == 404
    assert job in listed(phone)


def told(phone):
    answer = phone.client.get("/api/rechecks")
    assert answer.status_code == 200, answer.text
    return answer.json


@on_both_databases
def test_phones_are_told_in_parts_the_soonest_first_until_somebody_did_it(phone, clock):
    clock.now_ms = 1_795_600_000_000  # 2026-11-25
    vin = "WTM0000000X123456"
    past = PastJob(phone, "FAR 1", vin, description="Marrow Vale").set("vehicle.odometer", ODOMETER)
    far = past.set("finish.recheck-after", asks(80)).sign()
    past = PastJob(phone, "SOON 1").set(
        "finish.recheck-after", asks(50, "2026-12-24", "common-practice", page="", unit="mi")
    )
    asked = past.entries[-1]["id"]
    soon = past.sign()
    PastJob(phone, "OPEN 1").set("finish.recheck-after", asks(80)).send()
    first, second = told(phone)["rechecks"]
    assert first == {
        "entry": asked, "job": soon, "registration": "SOON 1", "vehicle": "", "last_day": "2026-11-25",
        "day": "2026-12-24", "distance": {"text": "50", "unit": "mi", "by": None}, "source": "common-practice",
        "page": "",
    }  # fmt: skip
    assert second | {"entry": None} == {
        "entry": None, "job": far, "registration": "FAR 1", "vehicle": "Marrow Vale", "last_day": "2026-11-25",
        "day": None, "distance": {"text": "80", "unit": "km", "by": 99390}, "source": "service-information",
        "page": "sheet 12",
    }  # fmt: skip
    answer = phone.client.get("/api/rechecks")
    assert vin not in answer.text
    assert answer.json["more"] is False
    unchanged = {"If-None-Match": answer.headers["ETag"]}
    assert phone.client.get("/api/rechecks", headers=unchanged).status_code == 304
    assert press_done(phone, soon, asked).status_code == 303
    assert phone.client.get("/api/rechecks", headers=unchanged).status_code == 200
    assert [each["job"] for each in told(phone)["rechecks"]] == [far]


def test_only_a_paired_phone_is_told(shop_app):
    answer = FarPhone(shop_app).ask("get", "/api/rechecks")
    assert (answer.status_code, problem(answer)) == (403, "not-paired")


@on_both_databases
def test_of_ten_thousand_the_soonest_come_at_once_and_it_is_said_that_there_are_more(app, phone):
    jobs = [job_row(n) | {"facts_version": job_facts.VERSION} for n in range(JOBS)]
    parts = '{"distance": null, "source": "common-practice", "page": ""}'
    with app.extensions["database"].transaction() as connection:
        entries.add_jobs(connection, jobs)
        rows = [
            {"job": job["id"], "number": 0, "entry": job["id"], "distance": "", "source": "", "parts": parts,
             "due_day": f"2027-{1 + n % 12:02}-11" if n % 2 else None, "done_by": None}
            for n, job in enumerate(jobs)
        ]  # fmt: skip
        connection.execute(insert(memory_schema.recheck), rows)
    times = []
    for _ in range(5):
        start = time.process_time()
        answer = told(phone)
        times.append((time.process_time() - start) * 1000)
    days = [each["day"] for each in answer["rechecks"]]
    assert (len(days), answer["more"]) == (500, True)
    assert days == sorted(days) == ["2027-02-11"] * 500
    assert min(times) < MOST_MS, times
