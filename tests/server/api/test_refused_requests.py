"""Requests that are refused as a whole, before any of their entries reaches the store."""

import json
import uuid

import pytest

from server.limits import LARGEST_ENTRIES_BODY
from server.store import schema
from tests.server.phones import problem
from tests.server.stores import rows_of, verdicts


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
