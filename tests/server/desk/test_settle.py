"""Settling two answers at the desk: an entry of the desk's own listing what the person saw; history and trace."""

import re

import pytest

from tests.server.databases import on_both_databases
from tests.server.demo_desk import DemoDesk

pytestmark = on_both_databases


@pytest.fixture
def differing(app, phone, second_phone, job):
    """A desk, a job with two odometers, and the two entries."""
    mine = phone.entry(job, "field-set", {"value": "one"}, "vehicle.vin")
    theirs = second_phone.entry(job, "field-set", {"value": "two"}, "vehicle.vin", by="Jonah Brask")
    phone.sync([mine])
    second_phone.sync([theirs])
    return DemoDesk(app), job, mine, theirs


def settle(desk, job, seen, keep, slot="vehicle.vin"):
    return desk.post(f"/desk/jobs/{job}/settle", {"slot": slot, "seen": seen, "keep": keep})


def test_the_answer_holds_and_lists_both(differing, phone):
    desk, job, mine, theirs = differing
    assert settle(desk, job, [mine["id"], theirs["id"]], theirs["id"]).status_code == 303
    shown = desk.words(f"/desk/jobs/{job}")
    assert "Two answers" not in shown
    assert "VIN two" in shown
    (made,) = [e for e in phone.sync()["entries"] if e["id"] not in (mine["id"], theirs["id"])]
    assert set(made["after"]) == {mine["id"], theirs["id"]}
    assert (made["by"], made["body"], made["kind"]) == ("Demo desk", {"value": "two"}, "field-set")
    assert made["n"] == 1
    assert made["device"] not in (mine["device"], theirs["device"])


def test_the_desk_counts_its_own_entries_up(differing, phone, second_phone):
    desk, job, mine, theirs = differing
    settle(desk, job, [mine["id"], theirs["id"]], mine["id"])
    again = phone.entry(job, "field-set", {"value": "three"}, "vehicle.vin")
    other = second_phone.entry(job, "field-set", {"value": "four"}, "vehicle.vin")
    phone.sync([again])
    second_phone.sync([other])
    seen = re.findall(r'name="seen" value="([0-9a-f-]+)"', desk.get(f"/desk/jobs/{job}").text)
    assert settle(desk, job, seen, again["id"]).status_code == 303
    made = [e for e in phone.client.get(f"/api/jobs/{job}/entries").json["entries"] if e["by"] == "Demo desk"]
    assert [e["n"] for e in made] == [1, 2]
    assert len({e["device"] for e in made}) == 1


def test_an_answer_that_came_meanwhile_is_not_overruled_unseen(differing, phone):
    desk, job, mine, theirs = differing
    third = phone.entry(job, "field-set", {"value": "three"}, "vehicle.vin")
    phone.sync([third])
    settle(desk, job, [mine["id"], theirs["id"]], mine["id"])
    shown = desk.words(f"/desk/jobs/{job}")
    assert "Two answers" in shown
    assert "three Ines Tavell" in shown


def test_what_is_settled_already_is_refused_in_words(differing):
    desk, job, mine, theirs = differing
    settle(desk, job, [mine["id"], theirs["id"]], mine["id"])
    answer = settle(desk, job, [mine["id"], theirs["id"]], theirs["id"])
    assert answer.status_code == 409
    assert "somebody has settled it" in answer.text
    for wrong in ({"keep": "x"}, {"slot": "vehicle.odometer"}):
        fields = {"slot": "vehicle.vin", "seen": [mine["id"]], "keep": mine["id"]} | wrong
        assert desk.post(f"/desk/jobs/{job}/settle", fields).status_code == 409


def test_the_history_shows_every_entry_and_what_took_its_place(differing):
    desk, job, mine, theirs = differing
    settle(desk, job, [mine["id"], theirs["id"]], theirs["id"])
    shown = desk.words(f"/desk/jobs/{job}/history")
    assert re.search(r"1\. VIN\b.* one no longer holds, see 3 Ines Tavell", shown)
    assert "see 3" in shown.partition("2. ")[2]
    assert "Demo desk, 2026-09-21 14:13 +00:00 by the phone" in shown
    assert "brought by The desk" in shown


def test_the_desk_is_no_phone_that_could_be_ended(differing):
    desk, job, mine, theirs = differing
    settle(desk, job, [mine["id"], theirs["id"]], theirs["id"])
    assert "The desk" not in desk.words("/desk/phones").replace("at the desk", "")


def test_the_trace_names_holds_sources_parts_and_overrides(app, phone, job):
    torque = {"value_nm": 78, "text": "78", "unit": "nm", "source": "sheet 12", "angle_deg": None}
    phone.sync([
        phone.entry(job, "step-done", {"hold": True}, "fit.left.hub-supported", by="Jonah Brask"),
        phone.entry(job, "photo-attached", {"sha256": "0" * 64, "about": "fit.left.witness-line"}),
        phone.entry(job, "hold-overridden", {"reason": "camera broken"}, "fit.right.witness-line"),
        phone.entry(job, "field-set", {"value": torque}, "fit.torque"),
        phone.entry(job, "field-set", {"value": "data sheet 7"}, "window.source"),
        phone.entry(job, "field-set", {"value": None}, "window.thrust"),
        phone.entry(job, "field-set", {"value": {"rings": "at-hand"}}, "choose.single-use"),
        phone.entry(job, "field-set", {"value": {"seal": "replaced"}}, "fit.parts-used"),
        phone.entry(job, "field-set", {"value": "R-31, lot 7"}, "prepare.left.ring-lot"),
        phone.entry(job, "field-set", {"value": "bolts B-8, lot 12"}, "choose.parts-lot"),
        phone.entry(job, "step-done", {"hold": False}, "fit.left.pilot"),
    ])  # fmt: skip
    shown = DemoDesk(app).words(f"/desk/jobs/{job}/trace")
    holds = shown[shown.index("Holds ") : shown.index("Holds gone past")]
    assert "hold confirmed Jonah Brask 2026-11-25 08:30 +01:00 (clock ahead) 2026-09-21 14:13 UTC" in holds
    assert "photo taken Ines Tavell" in holds
    over = shown[shown.index("Holds gone past") : shown.index("Windows and torque")]
    assert "Gone past without confirming: camera broken" in over
    assert "78 N m, from: sheet 12" in shown
    assert "data sheet 7" in shown
    assert "the maker gives none" in shown
    parts = shown[shown.index("Parts, lots") : shown.index("Signed")]
    assert "Parts replaced Seals and O-rings: Replaced Ines Tavell" in parts
    assert "Part and lot numbers of the new parts bolts B-8, lot 12 Ines Tavell" in parts
    assert "Part and lot number of these two rings (left) R-31, lot 7 Ines Tavell" in parts
