"""What touches on a witness photo said, as entries bring it: judged as on phones, said at the desk, left if erased."""

import json

import pytest

from server.desk.words.picture_words import picture_words
from server.records.entry_rules import judge
from server.records.picture_reading import is_picture_read
from server.sync.erase import shell_of
from tests.live_server import ROOT
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of
from tests.server.phones import an_entry, sheet_text
from tests.server.pictures_to_send import encoded, name_of

GOLDEN = json.loads((ROOT / "fixtures" / "golden" / "picture.json").read_text("utf-8"))
READ = GOLDEN["readings"][0]["value"]["picture_read"]
SLOT = "fit.left.picture.11111111-1111-4111-8111-111111111111"


def said(**changes) -> dict:
    return READ | {"said": READ["said"] | changes}


def test_phone_and_server_judge_the_same_values():
    assert [k for k, case in enumerate(GOLDEN["readings"]) if is_picture_read(case["value"]) != case["is_read"]] == []


@pytest.mark.parametrize("slot", [SLOT, f"round.2.{SLOT}", SLOT.replace("left", "right")])
def test_a_reading_is_taken_taken_back_and_refused_where_it_is_none(slot):
    assert judge(an_entry("field-set", {"value": {"picture_read": READ}}, slot)).verdict == "accepted"
    assert judge(an_entry("field-set", {"value": None}, slot)).verdict == "accepted"
    verdict = judge(an_entry("field-set", {"value": {"picture_read": READ | {"marks": []}}}, slot))
    assert (verdict.verdict, verdict.reason) == ("refused", "bad-field")
    assert "body.value: expected touches on a picture" in verdict.text


def test_no_other_field_is_judged_by_that_rule():
    for slot in ("fit.left.picture", "fit.left.pictures.x", "vehicle.picture.x"):
        assert judge(an_entry("field-set", {"value": "anything"}, slot)).verdict == "accepted"


@pytest.mark.parametrize(
    ("read", "words"),
    [
        (READ, "The picture agrees with the plan: OUTER ring, mark 12 at the line."),
        (said(verdict="differs", why="mark"),
         "The picture does not agree with the plan: OUTER ring, mark 12 at the line, planned 12."),
        (said(verdict="differs", why="mark", turn_deg=90.0) | {"planned": [30, 25]},
         "The picture does not agree with the plan: OUTER ring, mark 12 at the line, planned 30 or 25. "
         "The pair stands turned on the bolts."),
        (said(verdict="differs", why="face", face="other-way", looks="inboard"),
         "The picture does not agree with the plan: OUTER ring, the numbers look inwards, planned the other way."),
        (said(verdict="cannot-tell", why="between-marks", mark=None, between=[12, 13]),
         "Cannot tell from this picture: OUTER ring, mark 12 or 13 at the line."),
        (said(verdict="cannot-tell", why="a-later-code", mark=None),
         "Cannot tell from this picture: OUTER ring, the touches do not settle it."),
    ],
)  # fmt: skip
def test_the_desk_says_it_in_the_phones_words(read, words):
    assert is_picture_read({"picture_read": read})
    assert picture_words(read) == words


def test_it_stands_beneath_its_photo_and_among_the_steps(phone, job):
    photo = phone.entry(job, "photo-attached", {"sha256": name_of(encoded()), "about": "fit.left.witness-line"})
    slot = f"fit.left.picture.{photo['id']}"
    phone.sync([photo, phone.entry(job, "field-set", {"value": {"picture_read": READ}}, slot)])
    shown = sheet_text(phone, job)
    words = "The picture agrees with the plan: OUTER ring, mark 12 at the line."
    assert shown.count(words) >= 2
    assert "Photo of the rings, read (left)" in shown
    phone.sync([phone.entry(job, "field-set", {"value": {"picture_read": said(verdict="later-word")}}, f"{slot}x")])
    assert sheet_text(phone, job).count(words) == shown.count(words)


def test_what_was_held_against_an_earlier_plan_says_so(app):
    desk = DemoDesk(app)
    phone = desk.phone
    sets = ring_sets_of(phone)
    job = finished_job(phone, sets, (12, 31))
    photo = phone.entry(job, "photo-attached", {"sha256": name_of(encoded()), "about": "fit.left.witness-line"})
    [plan] = [e for e in entries_of(phone, job) if e["kind"] == "plan-chosen"]
    body = {"value": {"picture_read": READ | {"plan": plan["id"]}}, "plan": plan["id"]}
    phone.sync([photo, phone.entry(job, "field-set", body, f"fit.left.picture.{photo['id']}")])
    assert "That was an earlier plan." not in sheet_text(phone, job)
    other = json.loads(json.dumps(plan["body"]))
    other["plan"]["left"]["pair"] = [13, 31]
    phone.sync([phone.entry(job, "plan-chosen", other, plan["slot"], after=[plan["id"]])])
    assert "mark 12 at the line. That was an earlier plan." in sheet_text(phone, job)


def entries_of(phone, job: str) -> list[dict]:
    return phone.client.get(f"/api/jobs/{job}/entries").json["entries"]


def test_erasing_leaves_what_was_read_and_no_sentence():
    spoken = an_entry("field-set", {"value": {"picture_read": READ | {"note": "her own words"}}}, SLOT)
    shell = shell_of(spoken)
    assert is_picture_read(shell["body"]["value"])
    assert "her own words" not in json.dumps(shell)


def test_its_codes_are_no_words_that_stay_elsewhere():
    """A customer may be called Mark."""
    consent = an_entry("consent-recorded", {"customer": "mark", "how": "in-person"}, "round.1.consent")
    shell = shell_of(consent)
    assert shell["body"] == {"customer": "", "how": "in-person"}
    assert shell_of(an_entry("field-set", {"value": "mark"}, SLOT))["body"]["value"] is None
