"""The rules of taking entries by themselves: no server, no store."""

import json

import pytest

from server.records import entry_rules
from server.records.entry_rules import REASONS, as_kept, digest_of, judge
from server.records.fold import KINDS, OWN_SLOT_KINDS
from tests.live_server import ROOT
from tests.server.phones import an_entry


def entry(kind="note-written", body=None):
    return an_entry(kind, body, None if kind in OWN_SLOT_KINDS else "vehicle.odometer")


BAD_FIELDS = {
    "format": [None, "1", 0, True, 1.5],
    "id": [None, 7, "", "not-a-uuid", "7BCAED43-56FB-4221-AE5B-9C0EC770EE0B"],
    "job": [None, "x"],
    "device": [None, ["x"]],
    "n": [None, 0, -1, 1.5, "1", True, 2**60],
    "at": [None, 0, "yesterday", "2026-11-25", "2026-11-25T08:30:00"],
    "by": [None, 3, "x" * 201],
    "kind": [None, "", 5, "k" * 61],
    "slot": [None, "", 1, "s" * 121],
    "after": [None, "x", ["x"], [1], {}],
    "body": [None, [], "text"],
}


def test_what_is_an_id_is_one_list_for_phone_and_server():
    """Cause: the server took UUIDs of any version, and phones dropped the entry when it came to them."""
    golden = json.loads((ROOT / "fixtures" / "golden" / "ids.json").read_text("utf-8"))
    assert [each for each in golden["good"] if not entry_rules.is_uuid(each)] == []
    assert [each for each in golden["bad"] if entry_rules.is_uuid(each)] == []


@pytest.mark.parametrize(("field", "value"), [(f, v) for f, values in BAD_FIELDS.items() for v in values])
def test_a_wrong_field_is_refused_by_its_name(field, value):
    verdict = judge(entry("field-set", {"value": 1}) | {field: value})
    assert (verdict.verdict, verdict.reason) == ("refused", "bad-field")
    assert f"{field}: expected" in verdict.text


@pytest.mark.parametrize("field", BAD_FIELDS)
def test_a_missing_field_is_refused_by_its_name(field):
    whole = entry("field-set", {"value": 1})
    del whole[field]
    assert f"{field}: expected" in judge(whole).text


@pytest.mark.parametrize("thing", [None, 5, "text", [], [[]], {}])
def test_what_is_no_entry_is_refused(thing):
    assert judge(thing).verdict == "refused"


@pytest.mark.parametrize(
    ("kind", "body", "field"),
    [
        ("reading-taken", {"camber": None}, "body.toe"),
        ("reading-taken", {"camber": {"mdeg": 1.5}, "toe": None}, "body.camber"),
        ("photo-attached", {"sha256": "../../etc/passwd", "about": None}, "body.sha256"),
        ("job-signed", {"covers": "all"}, "body.covers"),
        ("job-reopened", {"reopens": [1]}, "body.reopens"),
        ("hold-overridden", {}, "body.reason"),
        ("note-written", {"text": 5}, "body.text"),
        ("field-set", {}, "body.value"),
        ("plan-chosen", {"plan": {}, "input": {}}, "body.plan"),
    ],
)
def test_a_body_that_its_kind_cannot_have_is_refused(kind, body, field):
    verdict = judge(entry(kind, body))
    assert verdict.verdict == "refused"
    assert f"{field}: expected" in verdict.text


@pytest.mark.parametrize("kind", OWN_SLOT_KINDS)
def test_a_kind_that_stands_for_itself_has_its_own_id_as_slot(kind):
    body = {"text": "", "reason": "", "covers": [], "reopens": [], "sha256": "0" * 64, "about": None}
    assert judge(entry(kind, body)).verdict == "accepted"
    assert "slot: expected the entry's own id" in judge(entry(kind, body) | {"slot": "notes"}).text


def test_fields_beyond_the_known_ones_are_kept():
    assert judge(entry(body={"text": "x", "later": [1]}) | {"later": 1}).verdict == "accepted"


def test_every_kind_of_the_format_has_its_rule_and_every_reason_its_text():
    assert set(entry_rules._BODIES) == set(KINDS)
    assert all(REASONS.values())


def test_what_is_kept_is_ascii_and_says_the_same():
    whole = entry(body={"text": "Łożysko 🔧 ½"})
    assert as_kept(whole).isascii()
    assert json.loads(as_kept(whole)) == whole


def test_the_digest_does_not_hang_on_the_order_of_keys():
    whole = entry()
    assert digest_of(whole) == digest_of(dict(reversed(whole.items())))
    assert digest_of(whole) != digest_of(whole | {"n": 2})


def test_kinds_are_those_of_the_design():
    design = ("job-opened field-set reading-taken plan-chosen consent-recorded step-done step-undone hold-overridden"
              " photo-attached note-written job-stopped job-signed job-reopened")  # fmt: skip
    assert set(KINDS) == set(design.split())
