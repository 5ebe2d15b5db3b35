"""Open jobs for which nothing has come in 90 days are named on the desk's front page, by an index of their own."""

import uuid

from server.limits import DAY_MS
from server.store import search
from tests.server.databases import on_both_databases
from tests.server.phones import START_MS
from tests.server.statements import heard

HEADING = "Open for 90 days without a change"


def opened(phone, plate):
    job = str(uuid.uuid4())
    phone.sync([phone.entry(job, "field-set", {"value": plate}, "vehicle.registration")])
    return job


def named(phone, **query):
    """Return the part of the front page that names them, or nothing."""
    _, heading, rest = phone.client.get("/desk/", query_string=query).text.partition(HEADING)
    return rest[: rest.index("</section>")] if heading else ""


@on_both_databases
def test_an_open_job_is_named_when_nothing_came_for_it_in_90_days(clock, phone):
    left, worked_on = opened(phone, "AB 1"), opened(phone, "AB 2")
    signed = opened(phone, "AB 3")
    phone.sync([phone.entry(signed, "job-signed", {"covers": []})])
    clock.now_ms += 90 * DAY_MS
    phone.sync([phone.entry(worked_on)])
    assert named(phone) == ""
    clock.now_ms += 1
    assert left in named(phone)
    assert "AB 1" in named(phone)
    assert "this job" in named(phone)
    assert worked_on not in named(phone)
    assert signed not in named(phone)
    phone.sync([phone.entry(left, "job-signed", {"covers": []})])
    assert named(phone) == ""


@on_both_databases
def test_each_says_for_how_many_days_and_who_wrote_last(clock, phone):
    job = opened(phone, "AB 1")
    phone.sync([phone.entry(job, by="A. Byrne")])
    phone.sync([phone.entry(job, by="C. Dolan")])
    unnamed = opened(phone, "AB 2")
    phone.sync([phone.entry(unnamed, by="")])
    clock.now_ms += 131 * DAY_MS
    first, second = named(phone).split("<li>")[1:]
    assert "nothing for 131 days, last written by C. Dolan" in first
    assert "Byrne" not in first
    assert "last written by nobody named" in second


@on_both_databases
def test_the_oldest_twenty_are_named_and_the_rest_counted_on_the_front_page_alone(clock, phone):
    jobs = []
    for number in range(23):
        jobs.append(opened(phone, f"AB {number:02}"))
        clock.now_ms += 1
    clock.now_ms += 91 * DAY_MS
    shown = named(phone)
    assert [job in shown for job in jobs] == [True] * 20 + [False] * 3
    assert "the oldest 20 of 23" in shown
    assert named(phone, find="AB") == named(phone, page=2) == ""


def test_they_are_found_by_their_own_index(app):
    with app.extensions["database"].transaction() as connection, heard() as asked:
        search.open_since_before(connection, START_MS, 20)
        for statement in list(asked):
            plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement.replace('?', '1')}").all()
            assert any("job_open" in row.detail for row in plan), plan
            assert not any(row.detail.startswith("SCAN") and "job_open" not in row.detail for row in plan), plan
