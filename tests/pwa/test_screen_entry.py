"""What is typed and tapped on the phone's screens: kept as it was typed, refused in plain words, never lost.

One phone for the module; every test has a job of its own, seeded through the product's own store.
"""

import pytest
from playwright.sync_api import expect
from screen_checks import PHONE, go
from screen_checks import newest_body as live
from screen_checks import open_step as at

_ENTRIES = f"async (job) => {PHONE}.entries(job)"
_BREAK_STORE = """() => {
  window.kept = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function put(...given) {
    if (this.name === 'entries') throw new DOMException('full', 'QuotaExceededError');
    return window.kept.apply(this, given);
  };
}"""
_MEND_STORE = "() => { IDBObjectStore.prototype.put = window.kept }"


def test_each_wheel_may_have_its_own_limits(app):
    job = at(app, "base.windows")
    app.window_source("Data sheet 12")
    app.tap("alike-each")
    app.window("right-toe", ("0.05", "out"), ("0.15", "in"), unit="deg")
    limits = live(app, job, "window.right.toe")["value"]
    assert (limits["low"]["mdeg"], limits["high"]["mdeg"]) == (-50, 150)
    assert not any(entry["slot"] == "window.left.toe" for entry in app.page.evaluate(_ENTRIES, job))
    app.window("right-toe", None)
    assert live(app, job, "window.right.toe") == {"value": None}


def test_a_number_without_a_way_is_not_kept(app):
    job = at(app, "base.readings")
    app.tap("read")
    app.type_angle("1.64", None, unit="deg")
    app.tap("keep")
    expect(app.key("echo")).to_contain_text("which way? Tap TOP OUT or TOP IN")
    assert not any(entry["slot"] == "base.left.1" for entry in app.page.evaluate(_ENTRIES, job))


@pytest.mark.parametrize("wrong", ["abc", "0.4.2", "1,024,5", "95"])
def test_a_wrong_number_is_refused_and_stays(app, wrong):
    at(app, "base.readings")
    app.tap("read")
    app.key("unit").select_option("deg")
    app.key("shown").fill(wrong)
    app.tap("way-top-in")
    app.tap("keep")
    expect(app.key("shown")).to_have_attribute("aria-invalid", "true")
    assert wrong in app.echo
    assert app.key("shown").input_value() == wrong


def test_a_typed_angle_survives_the_page(app):
    job = at(app, "base.readings")
    app.tap("read")
    app.type_angle("1.27", "top-out", unit="deg")
    app.page.reload()
    app.settle()
    assert app.slot == "base.readings"
    assert app.job == job
    app.tap("read")
    assert app.key("shown").input_value() == "1.27"
    expect(app.key("way-top-out")).to_have_attribute("aria-pressed", "true")


def test_a_typed_text_survives_the_page(app):
    at(app, "vehicle.registration")
    app.key("text").fill("xk 12 zz")
    app.page.reload()
    app.settle()
    assert app.key("text").input_value() == "xk 12 zz"


def test_limits_the_wrong_way_round_are_refused(app):
    job = at(app, "base.windows")
    app.window_source("Data sheet 12")
    app.tap("type-camber")
    app.keep_angle("0.50", "top-in", unit="deg")
    app.type_angle("1.50", "top-in")
    app.tap("keep")
    expect(app.key("echo")).to_contain_text(
        "The wrong way round: 0.50° top in was typed as the lowest, 1.50° top in as the highest"
    )
    assert app.key("shown").input_value() == "1.50"
    assert not any(entry["slot"].startswith("window.left") for entry in app.page.evaluate(_ENTRIES, job))


def test_consent_begins_with_the_plan_and_a_changed_plan_asks_for_it_anew(app):
    job = at(app, "round.1.plan")
    assert app.take_recommended() == "consent"
    assert "LEFT rear wheel: camber 1.64° top in (outside by 0.14°" in app.key("consent-findings").input_value()
    assert "RIGHT rear wheel: no rings." in app.key("consent-work").input_value()
    app.consent(price="200", customer="A. Person")
    go(app, f"#/job/{job}/step/round.1.plan")
    app.tap("more-both")
    assert app.tap_on("take-both") == "consent"
    expect(app.key("consent-anew")).to_be_visible()
    assert "RIGHT rear wheel: a pair of tapered rings" in app.key("consent-work").input_value()
    assert app.key("consent-price").input_value() == "200"
    expect(app.key("consent-risks-told")).not_to_be_checked()
    app.tap("override")
    app.key("override-reason").fill("The customer said yes to both wheels")
    app.tap_on("override-keep")
    plans = [entry for entry in app.page.evaluate(_ENTRIES, job) if entry["kind"] == "plan-chosen"]
    plan = max(plans, key=lambda entry: entry["n"])
    assert live(app, job, "consent") == {"reason": "The customer said yes to both wheels", "plan": plan["id"]}


def test_the_answer_to_a_tapped_point_of_the_map_is_in_sight(app):
    at(app, "round.1.plan")
    app.key("map-left").locator("summary").click()
    plot = app.key("map-left").locator(".map-frame")
    app.page.evaluate("document.querySelector('[data-key=map-left]').scrollIntoView()")
    box = plot.bounding_box()
    app.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    said = app.key("map-left").locator(".map-said")
    expect(said).to_contain_text("meets")
    middle, answer = app.page.locator("#main").bounding_box(), said.bounding_box()
    assert answer["y"] >= middle["y"]
    assert answer["y"] + answer["height"] <= middle["y"] + middle["height"] + 1


def test_torque_and_the_angle_after_it_are_typed_on_one_keypad(app):
    job = at(app, "fit.torque")
    app.key("torque").click()
    app.type_keys("90")
    app.key("torque-angle").click()
    assert app.key("torque-angle").get_attribute("inputmode") == "none", "the phone's own keyboard stays away"
    app.type_keys("400")
    assert app.key("torque").input_value() == "90"
    app.fill("torque-source", "Service information, page 12")
    app.tap("keep")
    expect(app.key("torque-error")).to_contain_text('"400" is not an angle from 1 to 360 degrees')
    expect(app.key("torque-angle")).to_be_focused()
    app.tap("key-clear")
    app.type_keys("90")
    app.tap_on("keep")
    kept = live(app, job, "fit.torque")["value"]
    assert (kept["text"], kept["angle_deg"]) == ("90", 90)
    go(app, f"#/job/{job}/step/fit.torque")
    assert app.key("torque-angle").input_value() == "90"
    expect(app.key("next")).to_be_visible()


def test_not_saved_is_said_until_it_is_saved(app):
    job = at(app, "vehicle.registration")
    app.key("text").fill("TM 1")
    app.page.evaluate(_BREAK_STORE)
    app.tap("keep")
    expect(app.key("not-saved")).to_be_visible()
    expect(app.key("not-saved")).to_contain_text("NOT SAVED")
    assert app.key("not-saved").get_attribute("role") == "alert"
    assert app.slot == "vehicle.registration"
    assert app.key("text").input_value() == "TM 1"
    app.page.evaluate(_MEND_STORE)
    app.tap("retry-save")
    expect(app.key("not-saved")).to_have_count(0)
    assert live(app, job, "vehicle.registration") == {"value": "TM 1"}


def test_undo_writes_what_was_before(app):
    job = at(app, "vehicle.registration")
    app.text("TM 1")
    app.tap_on("undo")
    assert app.slot == "vehicle.registration"
    assert live(app, job, "vehicle.registration") == {"value": None}
    assert app.key("text").input_value() == "TM 1", "what was typed stands there to be mended"
    expect(app.key("notice")).to_have_text("Taken back: TM 1 (Registration number).")
    app.text("TM 2")
    go(app, f"#/job/{job}/step/vehicle.registration")
    app.text("TM 3")
    app.tap_on("undo")
    assert app.key("text").input_value() == "TM 2"
    expect(app.key("notice")).to_have_text("Taken back: TM 3. Again: TM 2 (Registration number).")
    assert len(app.page.evaluate(_ENTRIES, job)) == 6


def test_a_hold_needs_its_own_button_or_a_reason(app):
    job = at(app, "fit.chocked")
    assert app.key("done").count() == 0
    assert app.page.locator("#bar .primary").count() == 0
    app.tap("override")
    app.tap("override-keep")
    expect(app.key("override-reason-error")).to_contain_text("A reason is needed")
    app.key("override-reason").fill("ok")
    app.tap("override-keep")
    expect(app.key("override-reason-error")).to_contain_text("at least 10 characters")
    assert app.slot == "fit.chocked"
    app.key("override-reason").fill("Chocked by the pit's own stops")
    app.tap_on("override-keep")
    assert live(app, job, "fit.chocked") == {"reason": "Chocked by the pit's own stops"}
    go(app, f"#/job/{job}/step/fit.chocked")
    expect(app.key("answer")).to_contain_text("Gone past without confirming: Chocked by the pit's own stops")
    go(app, f"#/job/{job}/steps")
    expect(app.key("step-fit.chocked")).to_contain_text("Gone past without confirming: Chocked by the pit's own stops")


def test_consent_cannot_be_gone_past(app):
    at(app, "consent")
    expect(app.key("confirm")).to_have_text("I confirm: the customer agreed")
    assert app.key("override").count() == 0


def test_a_changed_answer_to_a_hold_is_confirmed_before_going_on(app):
    job = at(app, "base.readings", "vehicle.pair-fitted")
    before = live(app, job, "vehicle.pair-fitted")
    expect(app.key("next")).to_be_visible()
    app.tap("choice-left")
    expect(app.key("next")).to_have_count(0)
    expect(app.key("confirm")).to_contain_text("I confirm: ")
    app.tap_on("confirm")
    assert before != live(app, job, "vehicle.pair-fitted") == {"value": "left"}


def test_a_refusing_answer_says_so_and_locks(app):
    job = at(app, "vehicle.mounting")
    app.tap("choice-one-piece")
    expect(app.key("refusal")).to_be_visible()
    app.tap("keep")
    expect(app.key("refused")).to_be_visible()
    go(app, f"#/job/{job}/step/base.readings")
    expect(app.key("locked")).to_be_visible()
    app.tap_on("to-lock")
    assert app.slot == "vehicle.mounting"


def test_a_change_of_side_is_asked_about(app):
    at(app, "prepare.left.right-set")
    expect(app.key("side-yes")).to_have_text("Yes, I am at the LEFT rear wheel")
    app.same_side()
    expect(app.key("side")).to_contain_text("LEFT")
    go(app, f"#/job/{app.job}/step/prepare.right.right-set")
    expect(app.page.locator("main h1")).to_have_text("Are you at the RIGHT rear wheel?")


def test_a_job_opens_where_it_was_left(app):
    job = at(app, "vehicle.tank", "vehicle.odometer")
    go(app, "#/")
    app.open_job(job)
    assert app.slot == "vehicle.odometer"


def test_stopping_from_anywhere(app):
    job = at(app, "fit.chocked")
    app.stop_job("part-awaited", "together-not-driven", "Longer bolts")
    [stopped] = [entry for entry in app.page.evaluate(_ENTRIES, job) if entry["kind"] == "job-stopped"]
    assert stopped["body"] == {
        "reason": "part-awaited",
        "vehicle_state": "together-not-driven",
        "awaited": "Longer bolts",
        "key_kept": True,
    }


def test_a_note_is_kept(app):
    job = at(app, "base.readings")
    go(app, f"#/job/{job}/steps")
    app.key("notes").locator("summary").click()
    app.key("note").fill("Old welding seam at the left arm")
    app.tap("keep-note")
    expect(app.key("notes").locator("li")).to_contain_text("Old welding seam at the left arm (Iris Vance")
