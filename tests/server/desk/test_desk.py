"""The desk's pages: what they show, that foreign text stays text, and that nothing strange in an entry breaks them."""

import html
import re
import uuid
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from server.desk.words.texts import texts_of
from tests.server.databases import on_both_databases
from tests.server.demo_desk import angle, finished_job, reading, ring_sets_of
from tests.server.phones import Phone
from tests.server.phones import sheet_text as page

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def measured(phone, job):
    """A job with a window, two base readings of the left camber and a check reading."""
    window = {"low": angle(-1500, "camber"), "high": angle(-500, "camber")}
    read = "reading-taken"
    phone.sync([
        phone.entry(job, "job-opened", {"checklist": 1}),
        phone.entry(job, "field-set", {"value": "TM-1 X"}, "vehicle.registration"),
        phone.entry(job, "field-set", {"value": window}, "window.left.camber"),
        phone.entry(job, read, reading(-1640, 420), "base.left.1"),
        phone.entry(job, read, {"camber": angle(-1601, "camber"), "toe": None}, "base.left.2"),
        phone.entry(job, read, reading(-600, -100), "base.right.1"),
        phone.entry(job, read, reading(-1000, 90), "round.1.check.left.1"),
    ])  # fmt: skip
    return job


def test_before_and_after_stand_beside_the_window_in_words(phone, measured):
    shown = page(phone, measured)
    row = shown[shown.index("Left camber") : shown.index("Left toe")]
    assert "0.50° to 1.50° top in" in row
    assert "1.62° top in outside by 0.12°" in row
    assert "1.00° top in inside" in row


def test_table_and_maps_call_a_reading_what_the_phone_calls_it(desk):
    job = finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31), miss=(50, -30))
    shown = desk.words(f"/desk/jobs/{job}")
    assert "Angle Maker’s window Base Predicted Check Left camber" in shown
    said = shown[shown.index("Tilt map, left wheel") :]
    assert said.index(" base: 1.64° top in, ") < said.index("; predicted: ") < said.index("; check: ")


def test_the_axle_is_worked_out_from_both_wheels(phone, measured):
    shown = page(phone, measured)
    assert "Total toe none given 0.32° toe\u2011in" in shown
    assert "Thrust angle none given 0.26° to the right" in shown


def test_readings_are_shown_as_they_were_typed(phone, measured):
    assert "base left 1 camber 1.64° top in, toe 0.42° in" in page(phone, measured)


def plan(left, right):
    return {"left": left, "right": right, "predicted": {"left": [-969, 98], "right": [-1120, 60]}, "chance": 0.9}


def test_rings_that_differ_are_named_inner_and_outer(phone, job):
    fitted = {"ring_set": "demo-66", "pair": [11, 50], "effect": [664, -322]}
    phone.sync([phone.entry(job, "plan-chosen", {"plan": plan(None, fitted), "input": {}}, "round.1.plan")])
    assert "Right Demo 66, unlike rings, inner 11 meets outer 50, at the top; moves" in page(phone, job)


def test_the_plan_says_which_mark_meets_which(phone, job):
    fitted = {"ring_set": "demo-54", "pair": [12, 31], "effect": [664, -322]}
    tables = {each["id"]: each["table"] for each in ring_sets_of(phone)}
    chosen = {"tables": tables, "advice": ["height-or-load"], "recommended": False}
    body = {"plan": plan(fitted, None), "input": {}, **chosen}
    phone.sync([phone.entry(job, "plan-chosen", body, "round.2.plan")])
    shown = page(phone, job)
    alike = "(rings alike: swap freely)"
    assert f"Left Demo 54, 12 meets 31, at the top {alike}; moves the wheel 0.66° top out, 0.32° toe\u2011out" in shown
    assert "Right no rings" in shown
    assert "about 9 in 10" in shown
    assert "Round 2 (not the recommended plan)" in shown
    assert "Both cambers are off the same way" in shown


def test_a_wheel_that_a_later_round_leaves_closed_is_not_called_without_rings(phone, job):
    fitted = {"ring_set": "demo-54", "pair": [12, 31], "effect": [664, -322]}
    body = {"plan": plan(fitted, None), "input": {}, "advice": [], "recommended": True, "open": ["left"]}
    phone.sync([phone.entry(job, "plan-chosen", body, "round.2.plan")])
    shown = page(phone, job)
    assert "Right stays closed" in shown
    assert "no rings" not in shown


STEPS = ("prepare.left.right-set", "prepare.left.marks-meet", "prepare.left.last-look")


def test_ticked_steps_name_ring_set_and_marks_of_their_own_round(phone, job):
    ticks = []
    for prefix, number, pair in (("", 1, [12, 31]), ("round.2.", 2, [7, 40])):
        fitted = {"ring_set": "demo-54", "pair": pair, "effect": [664, -322]}
        body = {"plan": plan(fitted, None), "input": {}, "advice": [], "recommended": True}
        ticks.append(phone.entry(job, "plan-chosen", body, f"round.{number}.plan"))
        ticks += [phone.entry(job, "step-done", {"hold": False}, prefix + step) for step in STEPS]
    phone.sync(ticks)
    for shown in (page(phone, job), page(phone, f"{job}/history")):
        assert "Demo 54, both rings, clean and whole (left)" in shown
        assert "Inner 12 meets outer 31, the top painted there, numbers as said above (left)" in shown
        assert "Last look before cutting: L, inner 7 meets outer 40, as drawn (left, round 2)" in shown
        assert not re.search(r"\{\w+\}", shown)


def test_a_ticked_step_keeps_the_marks_of_the_plan_that_it_was_ticked_under(phone, second_phone, job):
    """Cause: after another choice, the steps of the first one showed marks that nobody had lined up."""
    wheels = [{"ring_set": "demo-54", "pair": pair, "effect": [664, -322]} for pair in ([12, 31], [7, 40])]
    bodies = [{"plan": plan(wheel, None), "input": {}} for wheel in wheels]
    first, second = (phone.entry(job, "plan-chosen", body, "round.1.plan") for body in bodies)
    second["after"] = [first["id"]]
    lined_up = phone.entry(job, "step-done", {"hold": False}, STEPS[1])
    offline = second_phone.entry(job, "step-done", {"hold": False, "plan": first["id"]}, STEPS[2])
    phone.sync([first, lined_up, second])
    second_phone.sync([offline])  # ticked under the first plan, sent after the second
    for shown in (page(phone, job), page(phone, f"{job}/history")):
        assert "the top painted there, numbers as said above (left) done, under an earlier plan" in shown
        assert "L, inner 12 meets outer 31, as drawn (left) done, under an earlier plan" in shown
    phone.sync([phone.entry(job, "step-done", {"hold": False}, STEPS[2], after=[offline["id"]])])
    assert "L, inner 7 meets outer 40, as drawn (left) done Ines" in page(phone, job)


def test_a_consent_gone_past_for_a_changed_plan_stands_beside_the_reason(phone, job):
    given = phone.entry(
        job, "consent-recorded", {"customer": "Jo Berg", "work": "one pair, left", "how": "by-phone"}, "consent"
    )
    passed = phone.entry(job, "hold-overridden", {"reason": "told both wheels"}, "consent", after=[given["id"]])
    phone.sync([given, passed])
    said = page(phone, job)
    assert "Jo Berg, by phone" in said
    assert "told both wheels" in said


def test_a_step_without_one_agreed_plan_names_no_marks_and_shows_no_placeholder(phone, job):
    phone.sync([phone.entry(job, "step-done", {"hold": False}, step) for step in STEPS])
    assert "L, inner ? meets outer ?, as drawn (left)" in page(phone, job)


def test_steps_name_person_phone_time_and_server_time(phone, job):
    phone.sync([phone.entry(job, "step-done", {"hold": True}, "round.2.fit.left.hub-supported")])
    shown = page(phone, job)
    title = texts_of(str(ROOT / "pwa")).title("round.2.fit.left.hub-supported")
    assert title.endswith("(left, round 2)")
    assert f"{title} hold confirmed Ines Tavell, 2026-11-25 08:30 +01:00 (clock ahead) by the phone" in shown
    assert "2026-09-21 14:13 UTC by the server" in shown


def test_a_step_that_the_checklist_does_not_know_is_shown_by_its_id(phone, job):
    phone.sync([phone.entry(job, "step-done", {"hold": False}, "fit.left.polished")])
    assert "fit.polished (left) done" in page(phone, job)


def test_an_override_shows_its_reason(phone, job):
    phone.sync([phone.entry(job, "hold-overridden", {"reason": "the camera would not open"}, "fit.right.witness-line")])
    assert "Gone past without confirming: the camera would not open" in page(phone, job)


@on_both_databases
def test_two_answers_are_both_shown_and_flagged_in_the_list(phone, second_phone, job):
    phone.sync([phone.entry(job, "field-set", {"value": "one"}, "vehicle.registration")])
    second_phone.sync(
        [second_phone.entry(job, "field-set", {"value": "two"}, "vehicle.registration", by="Jonah Brask")]
    )
    shown = page(phone, job)
    assert "somebody has to say which one holds" in shown
    assert "one Ines Tavell" in shown
    assert "two Jonah Brask" in shown
    assert "1 with two answers" in phone.client.get("/desk/").text


def test_an_unknown_kind_is_shown_as_such(phone, job):
    phone.sync([phone.entry(job, "wheel-balanced", {"grams": 15}, "balance.left")])
    shown = page(phone, job)
    assert "Not understood by this version" in shown
    assert "wheel-balanced, about balance.left Ines Tavell" in shown
    assert '"grams": 15' in shown


def test_what_came_after_signing_is_set_apart(phone, job):
    signed = phone.entry(job, "job-signed", {"covers": []})
    phone.sync([signed, phone.entry(job, "note-written", {"text": "customer called"})])
    shown = page(phone, job)
    assert "After signing Note: customer called" in shown
    assert "Signed." in shown


def test_a_stopped_job_says_why_and_what_is_awaited(phone, job):
    body = {"reason": "hub-seized", "vehicle_state": "apart-on-stands", "awaited": "a bearing", "key_kept": True}
    phone.sync([phone.entry(job, "job-stopped", body)])
    said = "Stopped: Hub seized. Apart, on stands. Key kept at the shop. Awaited: a bearing Ines Tavell, 2026"
    above, _, below = page(phone, job).partition("Base, predicted and check readings")
    assert said in above
    assert "Hub seized" not in below, "how a stop stands is said once"


def test_stop_reopening_and_holds_gone_past_stand_near_the_top_with_their_reasons(phone, job):
    stop = phone.entry(job, "job-stopped", {"reason": "part-awaited", "awaited": "a bearing", "key_kept": True})
    reopened = phone.entry(job, "job-reopened", {"reopens": [stop["id"]], "reason": "the bearing came"})
    passed = phone.entry(job, "hold-overridden", {"reason": "no room for the camera"}, "fit.right.witness-line")
    phone.sync([stop, reopened, passed])
    shown = page(phone, job)
    top = shown[: shown.index("Base, predicted and check readings, in degrees")]
    assert "Stopped, reopened: the bearing came" in top
    assert re.search(r"\(right\): Gone past without confirming: no room for the camera", top)
    below = shown[len(top) :]
    assert re.search(r"Stopped, reopened Stopped: .* Awaited: a bearing Ines Tavell, 2026", below)
    assert "Reopened, because: the bearing came Ines Tavell, 2026" in below
    assert re.search(
        r"Holds gone past .*\(right\) Gone past without confirming: no room for the camera Ines Tavell", below
    )


def test_a_job_without_stop_or_hold_gone_past_has_no_such_section(phone, measured):
    shown = page(phone, measured)
    assert "reopened" not in shown
    assert "Holds gone past" not in shown


def test_a_photo_is_shown_or_said_to_be_on_its_way(phone, job):
    body = {"sha256": "0" * 64, "about": "fit.left.witness-line"}
    phone.sync([phone.entry(job, "photo-attached", body)])
    assert "The picture has not arrived yet" in page(phone, job)


def test_a_registration_is_found_and_a_missing_one_said_so(phone, job):
    phone.sync([phone.entry(job, "field-set", {"value": "TM-1 X"}, "vehicle.registration")])
    assert "TM-1 X" in phone.client.get("/desk/?find=tm1x").text
    assert "No job sheet of “zz”" in phone.client.get("/desk/?find=zz").text


HOSTILE = '<img src=x onerror="alert(1)"><script>alert(1)</script>{{7*7}}'


@on_both_databases
def test_script_in_every_text_is_shown_as_text(phone, job):
    phone.sync([
        phone.entry(job, "field-set", {"value": HOSTILE}, "vehicle.registration", by=HOSTILE),
        phone.entry(job, "field-set", {"value": HOSTILE}, "vehicle.description"),
        phone.entry(job, "field-set", {"value": {HOSTILE: HOSTILE}}, "choose.single-use"),
        phone.entry(job, "note-written", {"text": HOSTILE}),
        phone.entry(job, HOSTILE[:60], {"x": HOSTILE}, "slot"),
        phone.entry(job, "consent-recorded", {"findings": HOSTILE, "customer": HOSTILE}, "consent"),
        phone.entry(job, "hold-overridden", {"reason": HOSTILE}, HOSTILE),
        phone.entry(job, "job-stopped", {"reason": HOSTILE, "vehicle_state": HOSTILE, "awaited": HOSTILE}),
        phone.entry(job, "photo-attached", {"sha256": "0" * 64, "about": HOSTILE, "caption": HOSTILE}),
    ])  # fmt: skip
    job_pages = [f"/desk/jobs/{job}{page_of}" for page_of in ("", "/history", "/trace", "/erase")]
    for path in ("/desk/", *job_pages, f"/desk/?find={HOSTILE}"):
        text = phone.client.get(path).text
        assert "<img src=x" not in text
        assert "<script" not in text
        assert html.escape(HOSTILE, quote=False)[:20] in text


@pytest.mark.parametrize("path", ["/desk/", "/desk/jobs/{job}", "/desk/nothing"])
def test_pages_need_no_script_and_no_inline_style(phone, measured, path):
    text = phone.client.get(path.format(job=measured)).text
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=|javascript:", text)


NUMBERS = st.integers(-(2**53), 2**53) | st.floats(allow_nan=False, allow_infinity=False)
KEYS = st.sampled_from(["text", "unit", "low", "high", "mdeg", "value", "x", "bolts", "bracket", "at", "turn_deg"])
JSON = st.recursive(
    st.none() | st.booleans() | NUMBERS | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=8,
)
SLOTS = ["vehicle.registration", "window.left.camber", "window.source", "round.2.plan", "base.left.1", "fit.torque",
         "consent", "choose.single-use", "x", "vehicle.wear-rear-left", "vehicle.bolts", "round.x.y"]  # fmt: skip
KINDS = ["field-set", "step-done", "consent-recorded", "job-stopped", "job-signed", "job-reopened", "plan-chosen",
         "reading-taken", "photo-attached", "note-written", "hold-overridden", "later-kind"]  # fmt: skip
CONTENTS = st.tuples(st.sampled_from(KINDS), st.sampled_from(SLOTS), JSON, st.text(max_size=5))
ANY_FIELD = ("value", "reason", "text", "camber", "toe", "covers", "reopens", "plan", "input", "about", "vehicle_state",
             "awaited", "customer", "caption")  # fmt: skip


@pytest.mark.full
@on_both_databases
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(CONTENTS, min_size=1, max_size=6))
def test_no_accepted_entry_can_break_a_page(app, contents):
    """Whatever the rules take, the desk can show; whatever it could not show, the rules refuse."""
    phone, job = Phone(app), str(uuid.uuid4())
    batch = []
    for kind, slot, given_json, by in contents:
        body = dict.fromkeys(ANY_FIELD, given_json) | {"sha256": "0" * 64}
        made = phone.entry(job, kind, body, slot, by=by)
        batch.append(made | ({"slot": made["id"]} if kind.startswith(("job-", "note", "photo")) else {}))
    answer = phone.sync(batch)
    if any(result["verdict"] != "refused" for result in answer["results"]):
        for page_of in ("", "/history", "/trace", "/erase"):
            assert phone.client.get(f"/desk/jobs/{job}{page_of}").status_code == 200
        assert phone.client.get("/desk/learning").status_code == 200
        token = {"csrf_token": phone.token()}
        assert phone.client.post("/desk/export.csv", data=token).status_code == 200
        assert phone.client.get("/desk/").status_code == 200
