"""A NUL anywhere is answered alike on both databases, never by a fault; what a fault leaves in the log names nobody."""

import re
import uuid

import pytest
from sqlalchemy import insert

from server.store import entries, schema
from tests.server.databases import on_both_databases
from tests.server.desks import HTTPS, Desk, FarPhone
from tests.server.phones import an_entry, problem

NUL = "a\0b"
FIELDS = (
    "name", "role", "password", "old", "new", "again", "reason", "sure", "days", "slot", "seen", "keep", "id", "code",
    "action", "ring_set", "lot", "shop", "value", "unit", "until", "state", "find", "size", "looks", "side",
)  # fmt: skip
QUERY = ("find", "state", "from", "to", "page", "registration", "next", "left", "right", "side", "looks", "ring_set")


def paths(app, method):
    for rule in app.url_map.iter_rules():
        if method in rule.methods:
            typed = {name: NUL if kind.__class__.__name__ != "IntegerConverter" else 1
                     for name, kind in rule._converters.items()}  # fmt: skip
            yield rule, app.url_map.bind("shop.example").build(rule.endpoint, typed, method)


def ask(desk, method, path, **kwargs):
    return desk.client.open(path, method=method, base_url=HTTPS, environ_base={"REMOTE_ADDR": desk.address}, **kwargs)


def test_nothing_is_a_fault_and_every_address_with_a_nul_is_refused(any_shop_app):
    desk = Desk(any_shop_app).signed_in()
    tried = 0
    for method in ("GET", "POST", "PUT"):
        for rule, path in paths(any_shop_app, method):
            answer = ask(desk, method, path, query_string=dict.fromkeys(QUERY, NUL))
            assert answer.status_code < 500, (rule, answer.text)
            tried += 1
            if method == "GET" and path.startswith(("/desk", "/api")):
                assert answer.status_code == 400, (rule, answer.status_code)
    assert tried > 50


def test_nothing_is_a_fault_and_every_form_with_a_nul_is_refused(any_shop_app):
    desk = Desk(any_shop_app).signed_in()
    token = re.search(r'name="csrf_token" value="([^"]+)"', desk.get("/desk/sign-in").text)[1]
    for rule in any_shop_app.url_map.iter_rules():
        if "POST" not in rule.methods or not rule.rule.startswith("/desk"):
            continue
        path = re.sub(r"<[^>]+>", str(uuid.uuid4()), rule.rule)
        for typed in (dict.fromkeys(FIELDS, NUL), {NUL: "1"}):
            answer = ask(desk, "POST", path, data=typed | {"csrf_token": token}, headers={"Referer": f"{HTTPS}/"})
            assert answer.status_code == 400, (rule, answer.status_code)
            assert "holds a character that is no text" in answer.text


def test_a_nul_in_json_is_no_fault(any_shop_app):
    phone = FarPhone(any_shop_app)
    assert phone.pair(NUL).status_code == 403
    assert phone.pair(Desk(any_shop_app).signed_in().make_code()).status_code == 200
    headers = {"X-CSRFToken": phone.ask("GET", "/api/session").json["csrf"], "Referer": f"{HTTPS}/"}
    for since in ({"epoch": NUL, "seq": 1, "id": NUL}, {"epoch": None, "seq": NUL, "id": 7}):
        body = {"device": phone.device, "since": since, "entries": []}
        assert phone.ask("POST", "/api/entries", json=body, headers=headers).json["restart"] is True
    hostile = [an_entry() | {field: NUL} for field in ("id", "job", "device", "n", "at", "by", "kind", "slot")]
    hostile += [an_entry(body={"text": NUL, NUL: 1}), {"format": 9, "id": str(uuid.uuid4()), "x": NUL}, NUL]
    body = {"device": phone.device, "since": None, "entries": hostile}
    answer = phone.ask("POST", "/api/entries", json=body, headers=headers)
    assert [result["verdict"] for result in answer.json["results"]] == ["refused"] * len(hostile)
    for name in ("device", "version", "unsent"):
        answer = phone.ask("POST", "/api/entries", json=body | {name: NUL}, headers=headers)
        assert problem(answer) == "wrong-request"


@pytest.fixture
def fault(phone, job, monkeypatch, caplog):
    """Return a function that lets a save fail as given, and returns the log."""

    def happen(act):
        monkeypatch.setattr(entries, "add_entries", act)
        answer = phone.post([an_entry("note-written", {"text": "Ines Tavell, AB12 CDE"}, job=job)])
        assert (answer.status_code, problem(answer)) == (500, "server-fault")
        return caplog.text

    return happen


@on_both_databases
def test_the_log_of_a_fault_of_the_database_names_nobody(fault):
    """Cause: statements stood in it with their parameters, and the database's message quotes values."""

    def twice(connection, rows):
        for number in "12":
            person = {"id": rows[0]["id"][:-1] + number, "name": rows[0]["raw"], "name_key": "Ines Tavell, AB12 CDE"}
            kept = person | {"role": "owner", "password": "hash", "made_ms": 0}
            connection.execute(insert(schema.person).values(**kept))

    said = fault(twice)
    assert "IntegrityError" in said
    assert "test_no_text.py" in said
    assert not re.search(r"ines|tavell|ab12", said, re.IGNORECASE)


@on_both_databases
def test_the_log_of_any_other_fault_names_nobody_and_no_address(fault):
    def break_off(_connection, rows):
        raise KeyError(rows[0]["raw"])

    said = fault(break_off)
    assert "POST /api/entries failed" in said
    assert "KeyError" in said
    assert not re.search(r"ines|tavell|ab12", said, re.IGNORECASE)
