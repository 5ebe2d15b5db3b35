"""Finding job sheets by registration, vehicle, VIN, person, day and state; in pages; in a shop of ten thousand."""

import time
import uuid

from sqlalchemy import text

from server.limits import DAY_MS
from server.store import entries, search
from server.sync.derive import derive_due
from tests.server.databases import on_both_databases
from tests.server.phones import START_MS, Phone

pytestmark = on_both_databases

MOST_MS = 300  # of one search in the big shop, the best of three: some 5 ms on an idle machine


def job_with(phone, by="Ines Tavell", at="2026-11-25T08:30:00.000+01:00", **fields):
    job = str(uuid.uuid4())
    slots = {
        "registration": "AB-12 cd",
        "description": "Castelan Verro saloon, 2018",
        "vin": "WTM0000000X123456",
    } | fields
    phone.sync(
        [phone.entry(job, "field-set", {"value": v}, f"vehicle.{k}", by=by, at=at) for k, v in slots.items() if v]
    )
    return job


def found(phone, **query):
    answer = phone.client.get("/desk/", query_string=query)
    assert answer.status_code == 200
    return answer.text


def test_a_job_is_found_by_what_people_remember_of_it(phone):
    job = job_with(phone, by="Ínes Tavell")
    remembered = (
        "AB12CD",
        "ab-12 cd",
        "12 c",
        "verro",
        "Saloon CASTELAN",
        "x123456",
        "WTM0000000X123456",
        "ínes",
        "verro ab-12",
    )
    for words in remembered:
        assert job in found(phone, find=words), words


def test_what_does_not_stand_in_a_job_does_not_find_it(phone):
    job = job_with(phone)
    for words in ("AB13CD", "verro hatch", "brask", "%", "_", "'", "\\"):
        text = found(phone, find=words)
        assert job not in text, words
        assert "leave something out" in text


def test_states_are_told_apart_and_erased_ones_asked_for(phone, job):
    phone.sync([phone.entry(job, "job-signed", {"covers": []})])
    assert job in found(phone, state="signed")
    assert job not in found(phone, state="open")
    assert job in found(phone, state="no such state")  # a state that is none narrows nothing down


DAYS = [
    ({"from": "2026-11-25"}, True),
    ({"from": "2026-11-20", "to": "2026-11-25"}, True),
    ({"to": "2026-11-24"}, False),
    ({"from": "2026-11-26"}, False),
    ({"from": "2027-01-01", "to": "2026-01-01"}, True),  # upside down: said so, and not searched by
]


def test_days_are_those_of_the_work(phone, clock):
    clock.now_ms = 1_795_600_000_000  # the server's own day is 2026-11-25 too
    job = job_with(phone)
    for query, is_found in DAYS:
        assert (job in found(phone, **query)) == is_found, query


def test_a_phone_whose_clock_is_wrong_is_found_by_the_servers_day(phone):
    job = job_with(phone, at="1970-01-01T00:00:00.000Z")
    assert job in found(phone, **{"from": "2026-09-20", "to": "2026-09-22"})  # START_MS is 2026-09-21


def test_a_day_that_is_none_is_said_beside_its_field_and_kept(phone):
    job = job_with(phone)
    for day in ("tomorrow", "2026-13-01", "9999-12-31", "2026-11-25T00:00"):
        text = found(phone, **{"from": day})
        assert f"“{day}” is no day" in text
        assert f'value="{day}"' in text
        assert job in text


def test_pages_hold_every_job_once(phone, clock):
    jobs = []
    for _ in range(120):
        clock.now_ms += 1
        jobs.append(str(uuid.uuid4()))
        phone.sync([phone.entry(jobs[-1])])
    pages = [found(phone, page=number) for number in (1, 2, 3)]
    assert [sum(job in page for job in jobs) for page in pages] == [50, 50, 20]
    assert "120 job sheets, page 1 of 3" in pages[0]
    assert jobs[-1] in pages[0]
    assert "There is no page 9" in found(phone, page="9")
    for nonsense in ("0", "-1", "x", "9" * 30):
        assert "page 1 of 3" in found(phone, page=nonsense)


def test_a_store_of_an_older_program_is_searched_too(app, phone):
    """Columns that a migration has added are empty until somebody looks."""
    job = job_with(phone)
    database = app.extensions["database"]
    with database.transaction() as connection:
        connection.execute(
            text("UPDATE job SET found_by = NULL, vin_keys = NULL, first_day = NULL, last_day = NULL, began_ms = NULL")
        )
    derive_due(database)
    with database.transaction() as connection:
        assert search.not_derived(connection) == []
        row = entries.job_rows(connection, [job])[job]
    assert (row["first_day"], row["began_ms"]) == ("2026-11-25", START_MS)
    assert job in found(phone, find="verro")


def test_ten_thousand_job_sheets_are_searched_at_once(app):
    rows = [
        {
            "id": str(uuid.uuid4()), "state": ("open", "signed", "stopped")[n % 3], "registration": f"TM {n:05}",
            "registration_keys": f" TM{n:05} ", "vehicle": "Castelan Verro saloon, 2018", "conflicts": 0,
            "changed_ms": START_MS - n * 1000, "first_seq": n, "last_seq": n, "revived_seq": 0,
            "vin_keys": f" WTM{n:014} ", "found_by": f"tm {n:05} castelan verro saloon, 2018 wtm{n:014} ines tavell",
            "first_day": "2026-11-25", "last_day": "2026-11-25", "began_ms": START_MS - n * 1000,
        }
        for n in range(1, 10_001)
    ]  # fmt: skip
    with app.extensions["database"].transaction() as connection:
        entries.add_jobs(connection, rows)
    phone = Phone(app)
    phone.client.get("/desk/")
    queries = [{}, {"find": "TM 09999"}, {"find": "nowhere"}, {"find": "verro tavell", "state": "signed", "page": "60"},
               {"from": "2026-01-01", "to": "2026-12-31"}]  # fmt: skip
    for query in queries:
        times = []
        for _ in range(3):
            start = time.perf_counter()
            found(phone, **query)
            times.append((time.perf_counter() - start) * 1000)
        assert min(times) < MOST_MS, query
    assert "10000 job sheets, page 1 of 200" in found(phone)
    assert rows[9998]["id"] in found(phone, find="tm-09999")


def test_a_vehicle_shows_what_it_had_before_by_registration_or_vin(phone, clock):
    first = job_with(phone)
    clock.now_ms += 400 * DAY_MS
    second = job_with(phone, registration="ab12CD", vin=None)
    third = job_with(phone, registration="NEW 1", vin="wtm0000000x123456")
    other = job_with(phone, registration="AB12CDE", vin=None)
    shown = phone.client.get(f"/desk/jobs/{first}").text
    assert "What this vehicle had before" in shown
    assert (second in shown, third in shown, other in shown) == (True, True, False)
    assert "What this vehicle had before" not in phone.client.get(f"/desk/jobs/{other}").text
