"""What a sync costs: statements counted, short against long within one run, and nobody waits who only asks."""

import threading
import time
import uuid

import pytest
from sqlalchemy import insert, select

from server.limits import CONTACT_NOTED_MS
from server.store import entries, schema
from tests.server.databases import on_both_databases
from tests.server.loading import job_row
from tests.server.phones import START_MS, Phone
from tests.server.statements import heard

REQUEST = 1  # the look at who asks, in every request
MOST_OF_A_SAVE, MOST_OF_A_BATCH = 5, 12
SHORT, LONG, REPEATS = 10, 3_000, 15
MOST_RATIO = 1.5
MOST_RATIO_OF_A_WALK = 4  # a pull that walks over 20,000 closed jobs takes some 25 times as long
ROUNDS = 5
LIMIT_S = 20


class BenchPhone(Phone):
    """Asks for its token once, so that a request is only the sync."""

    def token(self):
        self._token = getattr(self, "_token", None) or super().token()
        return self._token


@pytest.fixture
def phone(app):
    return BenchPhone(app)


def value(phone, job, number):
    return phone.entry(job, "field-set", {"value": f"answer {number}"}, f"step.{number}")


def statements_of(act):
    with heard() as statements:
        act()
    return statements


def long_job(phone, length):
    job = str(uuid.uuid4())
    sheet = [value(phone, job, number) for number in range(length)]
    for start in range(0, length, 500):
        phone.sync(sheet[start : start + 500])
    phone.sync_all()
    return job


@on_both_databases
def test_one_value_saved_costs_five_statements_however_long_the_job_is(phone):
    for length in (1, 1_200):
        job = long_job(phone, length)
        asked = statements_of(lambda job=job: phone.sync([value(phone, job, 7)]))
        assert len(asked) - REQUEST <= MOST_OF_A_SAVE, asked


@on_both_databases
def test_one_value_saved_while_others_write_costs_one_more(app, phone, job):
    other = BenchPhone(app)
    for each in (phone, other):
        each.sync([value(each, job, 1)])
        each.sync_all()
    phone.sync_all()
    theirs = value(other, job, 2)
    other.sync([theirs])
    answer = []
    asked = statements_of(lambda: answer.append(phone.sync([value(phone, job, 3)])))
    assert answer[0]["entries"] == [theirs]
    assert len(asked) - REQUEST <= MOST_OF_A_SAVE + 1, asked


@on_both_databases
def test_a_batch_costs_twelve_statements_whatever_is_in_it(app, phone):
    """Old and new jobs, one of them signed, photos, something refused and something parked, all sent twice."""
    other, old = BenchPhone(app), str(uuid.uuid4())
    phone.sync([value(phone, old, 1)])
    other.sync([value(other, str(uuid.uuid4()), 1)])
    batch = [value(phone, old, 2), phone.entry(old, by=7), phone.entry(old, "weighed-again", {"kg": 1})]
    for number in range(19):
        job = str(uuid.uuid4())
        batch.append(phone.entry(job, "job-opened", {"checklist": 1}))
        photos = ({"sha256": uuid.uuid4().hex * 2, "about": None} for _ in range(3))
        batch += [phone.entry(job, "photo-attached", photo) for photo in photos]
        batch += [value(phone, job, step) for step in range(20)]
        if number == 0:
            batch.append(phone.entry(job, "job-signed", {"covers": []}))
    cursor = phone.cursor
    first = statements_of(lambda: phone.sync(batch))
    assert len(first) <= MOST_OF_A_BATCH + 3, first  # read and derive the signed one, note what is refused
    phone.cursor = cursor
    again = statements_of(lambda: phone.sync(batch))
    assert len(again) <= MOST_OF_A_BATCH, again
    usual = [value(phone, str(uuid.uuid4()), step) for step in range(400)]
    asked = statements_of(lambda: phone.sync(usual))
    assert len(asked) <= MOST_OF_A_BATCH, asked


@on_both_databases
def test_a_pull_with_nothing_new_costs_one_look(app, phone, job):
    other = BenchPhone(app)
    other.sync([value(other, job, 1)])
    phone.sync()
    asked = statements_of(phone.sync)
    assert len(asked) - REQUEST == 1, asked


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_a_save_in_a_long_job_takes_as_long_as_in_a_short_one(phone):
    jobs = {length: long_job(phone, length) for length in (SHORT, LONG)}
    best = best_of({length: lambda job=job: phone.sync([value(phone, job, 7)]) for length, job in jobs.items()})
    assert best[LONG] <= MOST_RATIO * best[SHORT], best


def best_of(acts):
    """Return the processor's seconds of each act, the best of some taken in turn."""
    best = dict.fromkeys(acts, float("inf"))
    for _ in range(REPEATS):
        for name, act in acts.items():
            began = time.process_time()
            act()
            best[name] = min(best[name], time.process_time() - began)
    return best


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_a_quiet_pull_passes_the_closed_jobs_of_years_once(app, phone):
    phone.sync()
    small = best_of({"small": phone.sync})["small"]
    long_ago, number = START_MS - 400 * 86_400_000, 20_000
    with app.extensions["database"].transaction() as connection:
        last_seq = entries.take_turn(connection, number)
        pairing = connection.scalar(select(schema.pairing.c.id).limit(1))
        jobs = [job_row(str(uuid.uuid4()), last_seq + 1 + k, long_ago, "signed") for k in range(number)]
        connection.execute(insert(schema.job), jobs)
        rows = [entry_row(job, phone.device, pairing, 1_000 + k, long_ago) for k, job in enumerate(jobs)]
        connection.execute(insert(schema.entry), rows)
    assert phone.sync()["next"]["seq"] == last_seq + number
    # What else the machine does only adds to a time: of several rounds the least counts.
    large = min(best_of({"large": phone.sync})["large"] for _ in range(ROUNDS))
    assert large <= MOST_RATIO_OF_A_WALK * small, (small, large)


def entry_row(job, device, pairing, n, ms):
    return {
        "id": str(uuid.uuid4()), "seq": job["first_seq"], "job": job["id"], "device": device, "n": n,
        "kind": "job-signed", "photo": None, "pairing": pairing, "received_ms": ms, "raw": "{}", "digest": "0" * 64,
    }  # fmt: skip


@on_both_databases
def test_who_asks_waits_for_no_writer_and_sees_nothing_half_written(app, phone, second_phone, job):
    for each in (phone, second_phone):
        each.sync()
    token, cursor = phone.token(), phone.cursor
    late, answers = second_phone.entry(job), []

    def ask():
        body = {"device": phone.device, "since": phone.cursor, "entries": []}
        answers.append(phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": token}).json)

    with app.extensions["database"].transaction() as connection:
        entries.take_turn(connection, 1)
        asking = threading.Thread(target=ask)
        asking.start()
        asking.join(LIMIT_S)
        assert answers, "the phone waits for the writer"
    assert (answers[0]["entries"], answers[0]["next"]) == ([], cursor)
    second_phone.sync([late])
    assert phone.sync()["entries"] == [late]


@on_both_databases
def test_a_contact_is_noted_once_a_minute_and_what_the_phone_says_anew_at_once(app, clock, phone):
    def noted(unsent=0):
        body = {"device": phone.device, "since": None, "entries": [], "unsent": unsent}
        assert phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": phone.token()}).status_code == 200
        with app.extensions["database"].transaction() as connection:
            query = select(schema.pairing.c.contact_ms, schema.pairing.c.unsent).join_from(
                schema.pairing, schema.pairing_device
            )
            return tuple(connection.execute(query.where(schema.pairing_device.c.device == phone.device)).one())

    assert noted() == (START_MS, 0)
    clock.now_ms += CONTACT_NOTED_MS - 1
    assert noted() == (START_MS, 0)
    assert noted(unsent=3) == (clock.now_ms, 3)
    assert noted() == (clock.now_ms, 0)
    clock.now_ms += CONTACT_NOTED_MS
    assert noted() == (clock.now_ms, 0)
    clock.now_ms -= 365 * 86_400_000  # the server's clock was set right
    assert noted() == (clock.now_ms, 0)
