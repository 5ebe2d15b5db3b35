"""What the customer's report at the desk is written from: entries, ring sets, the shop, and where each photo is."""

from tests.server.demo_desk import finished_job, ring_sets_of
from tests.server.pictures_to_send import attach, encoded, keep, name_of, picture


def facts(phone, job):
    return phone.client.get(f"/desk/jobs/{job}/report/facts").json


def test_each_photo_is_here_away_or_erased_and_never_missing(desk):
    phone = desk.phone
    job = finished_job(phone, ring_sets_of(phone), (12, 31))
    here, away = encoded(picture(160, 120)), encoded(picture(161, 120))
    keep(phone, job, here)
    attach(phone, job, away)
    assert facts(phone, job)["photos"] == {name_of(here): "here", name_of(away): "away"}
    desk.post(f"/desk/jobs/{job}/erase", {"reason": "asked for", "sure": "yes"})
    assert set(facts(phone, job)["photos"].values()) == {"erased"}


def test_the_ring_set_of_a_plan_is_told_by_the_table_that_it_names(desk):
    phone = desk.phone
    sets = ring_sets_of(phone)
    job = finished_job(phone, sets, (12, 31))
    said = facts(phone, job)
    planned = next(each for each in said["entries"] if each["kind"] == "plan-chosen")
    table = planned["body"]["tables"]["demo-54"]
    assert said["tables"][table]["ring_set"]["id"] == "demo-54"
    assert said["names"]["demo-54"] == next(each["name"] for each in sets if each["id"] == "demo-54")
    assert [entry["kind"] for entry in said["entries"]][-1] == "job-signed"
    assert said["language"] == "en"
    assert said["shop"]["name"] == "Larkmoor Wheel Works"


def test_a_job_that_is_not_here_has_neither_report_nor_facts(desk):
    for path in ("", "/facts"):
        answer = desk.get(f"/desk/jobs/00000000-0000-4000-8000-000000000000/report{path}")
        assert answer.status_code == 404


def test_a_phone_gets_none_of_it(far_phone):
    answer = far_phone.ask("GET", "/desk/jobs/00000000-0000-4000-8000-000000000000/report/facts")
    assert answer.status_code == 303
    assert "/desk/sign-in" in answer.headers["Location"]
