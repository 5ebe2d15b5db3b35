"""What follows from an answer is drawn after it: whatever comes in between, nothing is answered twice or in the way."""

import pytest
from playwright.sync_api import expect
from seeded_phone import SeededPhone
from test_fitting_screens import to_bolt_length

LENGTH, CHOICE = "fit.left.bolt-length", "vehicle.pair-fitted"
# The next frames, and what stands in for them, come as late as on a phone that has much to do.
LATE_FRAMES = """() => {
  const { requestAnimationFrame: frame, setTimeout: later } = window;
  window.requestAnimationFrame = (act) => frame(() => later(() => act(performance.now()), 1500));
  window.setTimeout = (act, ms, ...given) => later(act, ms === 100 ? 1500 : ms, ...given);
}"""
TWO_TAPS = """key => { const node = document.querySelector(`[data-key="${key}"]`); node.click(); node.click(); }"""


@pytest.mark.full
def test_a_keypad_that_is_on_its_way_does_not_come_over_another_screen(sheets):
    p = sheets("base.readings", "readings")
    p.driver.wait_for("cell-base.left.camber.1")
    p.driver.leave_field()
    expect(p.driver.key("keypad")).to_have_count(0)
    p.page.evaluate(LATE_FRAMES)
    p.page.evaluate(
        "() => { document.querySelector('[data-key=\"cell-base.left.camber.1\"]').focus(); location.hash = '#/'; }"
    )
    p.driver.settle()
    p.page.wait_for_timeout(2000)  # until the keypad would have come
    expect(p.driver.key("keypad")).to_have_count(0)
    expect(p.driver.key("new-job")).to_be_visible()


def test_a_bounce_on_a_longer_choice_is_one_answer(sheets):
    p = sheets(CHOICE, "possible")
    p.driver.tap(f"open-{CHOICE}")
    p.page.evaluate(TWO_TAPS, f"option-{CHOICE}-none")
    p.driver.wait_state(CHOICE)
    p.driver.choose("vehicle.mounting", "bolt-on-unit")  # saved after whatever the taps have saved
    assert len(p.fields(CHOICE)) == 1


@pytest.fixture
def at_bolts(browser, origin):
    phone = SeededPhone(browser, origin)
    to_bolt_length(phone, turns=9)
    yield phone
    phone.close()


@pytest.mark.full
def test_length_and_class_that_stop_the_job_are_recorded_once(at_bolts):
    driver = at_bolts.driver
    driver.tap(f"bolts-new-{LENGTH}")
    driver.wait_for(f"cell-{LENGTH}.was_mm")
    driver.number(f"{LENGTH}.was_mm", "45")
    driver.tap("key-next")
    driver.number(f"{LENGTH}.length_mm", "46")
    driver.tap(f"class-{LENGTH}-10.9")  # the length is kept by this tap
    expect(driver.row(LENGTH)).to_contain_text("Bolts too short")
    at_bolts.page.wait_for_timeout(1000)  # what would be saved twice is saved by then
    assert [(value["outcome"], value["class"]) for value in at_bolts.fields(LENGTH)] == [("short", "10.9")]
