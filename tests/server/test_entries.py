"""Entries: what the server takes, refuses, parks and answers, one test per rule of the design."""

import json
import threading
import uuid

import pytest
from sqlalchemy import select

from server.limits import LARGEST_ENTRIES_BODY
from server.store import schema
from tests.server.phones import Phone, problem


def verdicts(answer):
    return [result["verdict"] for result in answer["results"]]


def rows_of(app, table):
    with app.extensions["database"].transaction() as connection:
        return list(connection.execute(select(table)).mappings())


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


def send_raw(phone, raw):
    return phone.client.post(
        "/api/entries", data=raw, content_type="application/json", headers={"X-CSRFToken": phone.token()}
    )


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.999])
def test_json_that_is_cut_off_is_refused_as_a_whole(app, phone, job, share):
    entries = [phone.entry(job) for _ in range(5)]
    raw = json.dumps({"device": phone.device, "since": None, "entries": entries}).encode()
    answer = send_raw(phone, raw[: int(len(raw) * share)])
    assert answer.status_code == 400
    assert problem(answer) == "not-json"
    assert rows_of(app, schema.entry) == []
    assert verdicts(phone.sync(entries)) == ["accepted"] * 5


def test_bytes_that_are_no_text_are_refused(phone):
    assert problem(send_raw(phone, b'{"device": "\xff\xfe"}')) == "not-json"


def test_json_nested_beyond_reading_is_refused_as_a_whole(phone):
    answer = send_raw(phone, b"[" * 100_000)
    assert problem(answer) == "json-too-deep"
    assert "Bring the program that sent it up to date and send it again." in answer.json["error"]["text"]


def test_a_body_beyond_the_limit_is_refused_unread(phone):
    answer = send_raw(phone, b" " * (LARGEST_ENTRIES_BODY + 1))
    assert (answer.status_code, problem(answer)) == (413, "too-large")
    assert f"than this address takes: {(LARGEST_ENTRIES_BODY + 1) / 1e6:.1f} MB." in answer.json["error"]["text"]


@pytest.mark.parametrize(
    "body",
    [
        [],
        {"since": None, "entries": []},
        {"device": "x", "since": None, "entries": []},
        {"device": str(uuid.uuid4()), "since": None, "entries": {}},
        {"device": str(uuid.uuid4()), "since": 5, "entries": []},
        {"device": str(uuid.uuid4()), "since": {"epoch": "x"}, "entries": []},
    ],
)
def test_a_wrong_frame_is_refused_by_its_name(phone, body):
    answer = phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": phone.token()})
    assert (answer.status_code, problem(answer)) == (400, "wrong-request")


def test_more_than_500_entries_are_refused_as_a_whole(phone, job):
    answer = phone.post([phone.entry(job) for _ in range(501)])
    assert problem(answer) == "wrong-request"
    assert "501" in answer.json["error"]["text"]


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
    from server.erase import erase_job

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
    answers, start = [], threading.Barrier(20)

    def send(phone, token):
        start.wait()
        body = {"device": phones[0].device, "since": None, "entries": batch}
        answers.append(phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": token}))

    threads = [threading.Thread(target=send, args=request) for request in requests]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
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
        patch.setattr(entries, "change_job", fail)
        answer = phone.post(sent)
    assert (answer.status_code, problem(answer)) == (500, "server-fault")
    assert rows_of(app, schema.entry) == []
    assert rows_of(app, schema.job) == []
    assert verdicts(phone.sync(sent)) == ["accepted", "accepted"]
