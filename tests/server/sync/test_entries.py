"""Entries: what the server takes, refuses, parks and answers, one test per rule of the design."""

import json
import threading
import uuid

import pytest

from server.store import schema
from tests.at_once import LIMIT_S, all_ended
from tests.server.databases import on_both_databases
from tests.server.phones import Phone, problem
from tests.server.stores import rows_of, verdicts

pytestmark = on_both_databases


def test_an_entry_is_accepted_once_and_already_held_afterwards(app, phone, job):
    entry = phone.entry(job, "job-opened", {"checklist": 1})
    first, second = phone.sync([entry]), phone.sync([entry])
    assert first["results"] == [{"id": entry["id"], "verdict": "accepted"}]
    assert second["results"] == [{"id": entry["id"], "verdict": "already"}]
    assert len(rows_of(app, schema.entry)) == 1


def test_an_entry_comes_back_word_for_word(phone, second_phone, job):
    entry = phone.entry(job, body={"text": "Łożysko ok — 0,25 ≤ ½ 🔧", "more": [1.5, None, {"a": True}]}, extra="kept")
    phone.sync([entry])
    assert second_phone.sync_all() == [entry]


def test_the_same_entry_twice_in_one_request_is_stored_once(phone, job):
    entry = phone.entry(job)
    assert verdicts(phone.sync([entry, entry])) == ["accepted", "already"]


def test_same_id_with_other_content_is_refused_and_both_are_kept(app, phone, second_phone, job):
    entry = phone.entry(job)
    phone.sync([entry])
    other = entry | {"body": {"text": "something else"}}
    result = phone.sync([other])["results"][0]
    assert (result["verdict"], result["reason"]) == ("refused", "id-reused")
    assert second_phone.sync_all() == [entry]
    assert [json.loads(row["raw"]) for row in rows_of(app, schema.set_aside)] == [other]


def test_the_order_of_keys_is_no_other_content(phone, job):
    entry = phone.entry(job)
    phone.sync([entry])
    assert verdicts(phone.sync([dict(reversed(entry.items()))])) == ["already"]


def test_a_cloned_phone_keeps_both_entries_and_gets_a_new_device(app, phone, second_phone, job):
    twin = Phone(app, device=phone.device)
    mine, its = phone.entry(job), twin.entry(job)
    assert mine["n"] == its["n"]
    assert phone.sync([mine])["new_device"] is None
    answer = twin.sync([its])
    assert verdicts(answer) == ["accepted"]
    assert answer["new_device"] not in (None, phone.device)
    assert {e["id"] for e in second_phone.sync_all()} == {mine["id"], its["id"]}


def test_a_clone_that_lost_the_reply_is_told_again(app, phone, job):
    twin = Phone(app, device=phone.device)
    phone.sync([phone.entry(job)])
    its = twin.entry(job)
    twin.sync([its])
    assert twin.sync([its])["new_device"] is not None


def test_the_new_device_belongs_to_the_pairing(app, phone, job):
    twin = Phone(app, device=phone.device)
    phone.sync([phone.entry(job)])
    fresh = twin.sync([twin.entry(job)])["new_device"]
    assert fresh in {row["device"] for row in rows_of(app, schema.pairing_device)}


def test_an_unknown_kind_is_parked_whole_and_reaches_other_phones(phone, second_phone, job):
    entry = phone.entry(job, "wheel-balanced", {"grams": 15}, "balance.left")
    result = phone.sync([entry])["results"][0]
    assert (result["verdict"], result["reason"]) == ("parked", "unknown-kind")
    assert second_phone.sync_all() == [entry]


def _plan(phone, job, tables):
    plan = {"left": None, "right": None, "predicted": {"left": [0, 0], "right": [0, 0]}, "chance": 1}
    return phone.entry(job, "plan-chosen", {"plan": plan, "input": {}, "tables": tables}, "round.1.plan")


def test_a_plan_whose_table_the_store_lacks_is_parked_in_its_job(app, phone, second_phone, job):
    held = rows_of(app, schema.ring_table)[0]["sha256"]
    good, bad = _plan(phone, job, {"demo-54": held}), _plan(phone, job, {"demo-54": held, "demo-66": "f" * 64})
    results = phone.sync([good, bad])["results"]
    assert [(each["verdict"], each.get("reason")) for each in results] == [
        ("accepted", None), ("parked", "unknown-table"),
    ]  # fmt: skip
    assert "does not have" in results[1]["text"]
    assert second_phone.sync_all() == [good, bad], "it is of the job all the same"


@pytest.mark.parametrize(
    "tables", [["a"], {"demo-54": "../session"}, {"demo-54": 7}, {str(k): "a" * 64 for k in range(201)}]
)
def test_what_names_no_tables_is_refused(phone, job, tables):
    result = phone.sync([_plan(phone, job, tables)])["results"][0]
    assert (result["verdict"], result["reason"]) == ("refused", "bad-field")
    assert "body.tables: expected an object of at most 200 SHA-256" in result["text"]


def test_plans_that_name_more_tables_than_a_statement_takes_are_parked(phone, job):
    plans = [_plan(phone, job, {str(k): f"{n:032x}{k:032x}" for k in range(200)}) for n in range(200)]
    assert {each["reason"] for each in phone.sync(plans)["results"]} == {"unknown-table"}


def test_an_unknown_format_is_parked_whole_for_a_later_server(app, phone, second_phone):
    entry = {"format": 2, "id": str(uuid.uuid4()), "whatever": ["a", "later", "program", "means"]}
    result = phone.sync([entry])["results"][0]
    assert (result["verdict"], result["reason"]) == ("parked", "unknown-format")
    assert second_phone.sync_all() == []
    assert [json.loads(row["raw"]) for row in rows_of(app, schema.set_aside)] == [entry]


def test_one_poison_entry_does_not_stop_the_rest(app, phone, second_phone, job):
    good, bad, also_good = phone.entry(job), phone.entry(job, "reading-taken", {"camber": "abc"}), phone.entry(job)
    answer = phone.sync([good, bad, also_good])
    assert verdicts(answer) == ["accepted", "refused", "accepted"]
    assert answer["results"][1]["reason"] == "bad-field"
    assert "body.camber" in answer["results"][1]["text"]
    assert second_phone.sync_all() == [good, also_good]
    assert [json.loads(row["raw"]) for row in rows_of(app, schema.set_aside)] == [bad]


def test_a_refused_entry_sent_again_is_kept_once(app, phone, job):
    bad = phone.entry(job, by=7)
    phone.sync([bad])
    phone.sync([bad])
    assert len(rows_of(app, schema.set_aside)) == 1


@pytest.mark.parametrize("at", ["1970-01-01T00:00:00Z", "2036-11-25T08:30:00+01:00", "+012026-01-01T00:00:00.000Z"])
def test_the_phones_clock_refuses_nothing(phone, job, at):
    assert verdicts(phone.sync([phone.entry(job, at=at)])) == ["accepted"]


def test_entries_keep_the_order_of_arrival_when_the_clock_jumps_back(phone, second_phone, job):
    sent = [phone.entry(job, at=f"{year}-05-01T10:00:00Z") for year in (2026, 1970, 2036, 2025)]
    phone.sync(sent)
    assert second_phone.sync_all() == sent


@pytest.mark.parametrize("text", ["\ud800", "a\0b"])
def test_characters_that_no_store_can_keep_are_refused_and_kept_aside(app, phone, job, text):
    result = phone.sync([phone.entry(job, body={"text": text})])["results"][0]
    assert (result["verdict"], result["reason"]) == ("refused", "not-text")
    assert json.loads(rows_of(app, schema.set_aside)[0]["raw"])["body"]["text"] == text


def test_a_number_without_end_is_refused_alone(phone, job):
    body = {
        "device": phone.device,
        "since": None,
        "entries": [phone.entry(job, body={"text": "", "x": 0}), phone.entry(job)],
    }
    raw = json.dumps(body).replace('"x": 0', '"x": 1e999')
    answer = phone.client.post(
        "/api/entries", data=raw, content_type="application/json", headers={"X-CSRFToken": phone.token()}
    )
    assert verdicts(answer.json) == ["refused", "accepted"]


def test_an_entry_too_deep_or_too_large_is_refused_alone(phone, job):
    deep = {}
    for _ in range(40):
        deep = {"in": deep}
    answer = phone.sync(
        [phone.entry(job, body=deep), phone.entry(job, body={"text": "", "x": "x" * 300_000}), phone.entry(job)]
    )
    assert [result.get("reason") for result in answer["results"]] == ["too-deep", "too-large", None]


def test_high_water_is_the_largest_n_without_a_gap(phone, job):
    one, two, three, four = (phone.entry(job) for _ in range(4))
    assert phone.sync([one])["high_water"] == 1
    assert phone.sync([four, three])["high_water"] == 1
    assert phone.sync([two])["high_water"] == 4


def test_the_n_of_a_refused_and_of_a_parked_entry_counts_as_held(phone, job):
    refused = phone.entry(job, by=1)
    parked = {"format": 9, "id": str(uuid.uuid4()), "device": phone.device, "n": 2}
    phone.count = 2
    assert phone.sync([refused, parked, phone.entry(job)])["high_water"] == 3


def test_high_water_is_that_of_the_device_that_asks(phone, second_phone, job):
    phone.sync([phone.entry(job)])
    assert second_phone.sync()["high_water"] == 0


def test_entries_of_an_earlier_device_id_of_the_phone_are_taken(phone, job):
    old = [phone.entry(job) for _ in range(3)]
    answer = phone.post(old, device=str(uuid.uuid4()))
    assert verdicts(answer.json) == ["accepted"] * 3


def test_an_erased_entry_sent_again_gets_a_distinct_answer(app, clock, phone, second_phone, job):
    from server.sync.erase import erase_job

    entry = phone.entry(job)
    phone.sync([entry])
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, job, clock())
    result = phone.sync([entry])["results"][0]
    assert (result["verdict"], result["reason"]) == ("refused", "erased")
    assert second_phone.sync_all() == []
    assert phone.sync()["restart"] is False
    assert phone.sync()["high_water"] == 1


def test_twenty_threads_with_the_same_batch_make_one_row_each(app, job):
    phones = [Phone(app) for _ in range(20)]
    batch = [phones[0].entry(job) for _ in range(25)]
    requests = [(phone, phone.token()) for phone in phones]
    start = threading.Barrier(20)

    def send(request):
        phone, token = request
        start.wait(LIMIT_S)
        body = {"device": phones[0].device, "since": None, "entries": batch}
        return phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": token})

    answers = all_ended(send, requests)
    assert [answer.status_code for answer in answers] == [200] * 20
    every = [verdict for answer in answers for verdict in verdicts(answer.json)]
    assert (every.count("accepted"), every.count("already")) == (25, 19 * 25)
    rows = rows_of(app, schema.entry)
    assert len(rows) == 25
    assert len({row["seq"] for row in rows}) == 25


def test_a_fault_in_the_store_leaves_nothing_half_done(app, phone, job, monkeypatch):
    from server.store import entries

    def fail(*_):
        raise RuntimeError("the disk is full")

    sent = [phone.entry(job), phone.entry(job)]
    with monkeypatch.context() as patch:
        patch.setattr(entries, "add_entries", fail)
        answer = phone.post(sent)
    assert (answer.status_code, problem(answer)) == (500, "server-fault")
    assert rows_of(app, schema.entry) == []
    assert rows_of(app, schema.job) == []
    assert verdicts(phone.sync(sent)) == ["accepted", "accepted"]


def test_a_gap_that_is_filled_late_and_what_was_set_aside_before_the_device_was_known_count(phone, job):
    """The first one comes under another device's name, refused; then the rest of the same device around a gap."""
    old = str(uuid.uuid4())
    refused = phone.entry(job, by=1, device=old, n=1)
    phone.sync([refused])
    assert phone.post([phone.entry(job, device=old, n=2)], device=old).json["high_water"] == 2
    assert phone.post([phone.entry(job, device=old, n=n) for n in (5, 4)], device=old).json["high_water"] == 2
    phone.sync([phone.entry(job, by=1, device=old, n=3)])
    assert phone.post([], device=old).json["high_water"] == 5
