"""The hub bolts on a wheel's sheet: what closes it is said in full, and a slip of the finger can be put right."""

import pytest
from playwright.sync_api import expect
from seeded_phone import bolts

LENGTH, RIGHT, TIGHTENED = "fit.left.bolt-length", "fit.right.bolt-length", "fit.left.tightened"
BETWEEN_TOUCHES_MS = 1600
_BREAK_STORE = """() => {
  window.kept = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function put(...given) {
    if (this.name === 'entries') throw new DOMException('full', 'QuotaExceededError');
    return window.kept.apply(this, given);
  };
}"""
_MEND_STORE = "() => { IDBObjectStore.prototype.put = window.kept }"


def test_new_bolts_wait_for_a_class_and_one_that_cannot_be_read_goes_into_the_record(sheets):
    p = sheets(LENGTH, "wheel.left")
    p.driver.tap(f"bolts-new-{LENGTH}")
    p.driver.number(f"{LENGTH}.length_mm", "50")
    p.driver.number(f"{LENGTH}.measured_mm", "18")
    p.driver.tap("key-next")
    expect(p.driver.key("bolts-unsaid")).to_contain_text("Class")
    expect(p.driver.key(f"hold-{LENGTH}")).to_be_disabled()
    p.driver.tap(f"class-{LENGTH}-unread")
    expect(p.driver.key("class-unread")).to_contain_text("Nobody knows")
    p.driver.hold(LENGTH)
    [entry] = p.live(LENGTH)
    assert (entry["body"]["length"]["class"], entry["body"]["length"]["class_unread"]) == (None, True)


def test_the_second_wheel_takes_over_what_was_read_off_the_new_bolts_and_is_measured_itself(sheets):
    p = sheets(LENGTH, "wheel.left")
    p.driver.tap(f"bolts-new-{LENGTH}")
    p.driver.number(f"{LENGTH}.length_mm", "50")
    p.driver.number(f"{LENGTH}.measured_mm", "18")
    p.driver.tap(f"class-{LENGTH}-10.9")
    p.driver.hold(LENGTH)
    p.work_until(RIGHT)
    p.show("sheet/wheel.right")
    as_left = p.driver.key(f"bolts-as-other-{RIGHT}")
    expect(as_left).to_have_text("As on the LEFT: New bolts, 50 mm, class 10.9")
    p.driver.tap(f"bolts-as-other-{RIGHT}")
    expect(p.driver.key(f"cell-{RIGHT}.length_mm")).to_have_value("50")
    expect(p.driver.key(f"class-{RIGHT}-10.9")).to_have_attribute("aria-pressed", "true")
    expect(as_left).to_be_hidden()
    expect(p.driver.key(f"cell-{RIGHT}.measured_mm")).to_have_value("")
    expect(p.driver.key(f"hold-{RIGHT}")).to_be_disabled()
    p.driver.number(f"{RIGHT}.measured_mm", "17")
    p.driver.tap("key-next")
    p.driver.hold(RIGHT)
    [entry] = p.live(RIGHT)
    record = entry["body"]["length"]
    assert (record["length_mm"], record["class"], record["measured_mm"]) == (50, "10.9", 17)


def test_undo_takes_back_the_answer_that_stopped_the_job_and_a_confirmation_with_all_its_numbers_there(sheets):
    told = bolts(engaged_mm=18)
    told[2]["value"]["length_mm"] = 45
    p = sheets(LENGTH, "wheel.left", facts=[told])
    length = p.driver.key(f"cell-{LENGTH}.length_mm")
    p.driver.tap(f"bolts-new-{LENGTH}")
    p.driver.number(f"{LENGTH}.length_mm", "46")
    p.driver.tap("key-next")
    p.driver.wait_state(LENGTH, "refused")
    p.driver.tap("undo-last")
    p.driver.wait_state(LENGTH, "open")
    expect(length).to_have_value("")
    expect(p.driver.key(f"bolts-new-{LENGTH}")).to_have_attribute("aria-pressed", "true")
    expect(p.driver.key("bolts-refused")).to_have_count(0)
    p.driver.number(f"{LENGTH}.length_mm", "60")
    p.driver.tap(f"class-{LENGTH}-10.9")
    p.driver.hold(LENGTH)
    p.driver.tap("undo-last")
    p.driver.wait_state(LENGTH, "open")
    expect(length).to_have_value("60")
    expect(p.driver.key(f"class-{LENGTH}-10.9")).to_have_attribute("aria-pressed", "true")
    p.driver.hold(LENGTH)
    [entry] = p.live(LENGTH)
    assert (entry["body"]["length"]["length_mm"], entry["body"]["length"]["class"]) == (60, "10.9")


@pytest.mark.full
def test_before_the_first_bolt_the_caution_is_read_and_then_the_whole_target_is_in_sight(sheets):
    p = sheets(TIGHTENED, "wheel.left")
    p.driver.number(f"{TIGHTENED}.count", "5")
    p.driver.tap("key-next")
    p.driver.wait_gone("keypad")
    p.driver.next()
    target, caution = p.driver.key("bolt-target"), p.driver.row(TIGHTENED).locator(".signal-text")
    expect(caution).to_be_in_viewport(ratio=1)
    p.page.wait_for_timeout(BETWEEN_TOUCHES_MS)
    box = target.bounding_box()
    p.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + 40)
    expect(target).to_contain_text("1 of 15 done")
    assert_whole(p)
    p.page.evaluate("() => { document.getElementById('main').scrollTop = 0; }")
    p.driver.next()
    assert_whole(p)


def assert_whole(p):
    """Nothing lies over the target."""
    p.page.wait_for_function("""() => {
      const [target, banner, bar] = [".bolt-target", ".wheel-banner", "#bar"]
        .map((which) => document.querySelector(which).getBoundingClientRect());
      return target.top >= banner.bottom && target.bottom <= bar.top + 1;
    }""")


@pytest.mark.full
def test_a_wrong_number_of_bolts_is_put_right_and_a_last_touch_that_was_not_saved_is_made_again(sheets):
    p = sheets(TIGHTENED, "wheel.left")
    target, recount = p.driver.key("bolt-target"), p.driver.key("bolt-recount")

    def count(bolts: str) -> None:
        p.driver.number(f"{TIGHTENED}.count", bolts)
        p.driver.tap("key-next")

    def touch() -> None:
        p.page.wait_for_timeout(BETWEEN_TOUCHES_MS)
        p.driver.tap("bolt-target")

    count("3")
    touch()
    expect(target).to_contain_text("1 of 9 done")
    p.driver.tap("bolt-recount")
    count("2")
    expect(target).to_contain_text("0 of 6 done")
    for _ in range(4):
        touch()
    expect(recount).to_contain_text("Not 2 bolts")
    touch()
    expect(recount).to_have_count(0)  # the last stage has begun
    p.page.evaluate(_BREAK_STORE)
    touch()
    expect(p.driver.key("not-saved")).to_be_visible()
    expect(target).to_contain_text("not saved")
    p.page.evaluate(_MEND_STORE)
    touch()
    p.driver.wait_state(TIGHTENED)
    [entry] = p.live(TIGHTENED)
    assert [(each["stage"], len(entry["body"]["bolts"])) for each in entry["body"]["bolts"][-1:]] == [(3, 6)]
    p.driver.tap_node(p.driver.row(TIGHTENED).locator('[data-key="take-back"]'))
    p.driver.wait_state(TIGHTENED, "open")
    expect(p.driver.key(f"cell-{TIGHTENED}.count")).to_be_visible()  # nothing of it is left
