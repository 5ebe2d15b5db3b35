"""Choosing and fitting aids on the phone: pairs tried, aims moved, sets that do not suit, bolts, spacers, torque.

What the screens compute is held to calc elsewhere; here a person's taps reach it and what they keep is recorded.
"""

import pytest
from playwright.sync_api import expect
from seeded_phone import SeededPhone, bolts, reading, windows

WINDOWS = windows((-1500, -500), (0, 200), (50, 350), (-100, 100), (-500, 500))
READ = [reading("base.left.1", -1640, 420), reading("base.right.1", -1720, 310)]
DESCRIPTION = ["vehicle.description", "field-set", {"value": "Marrow Vale Estate 1.8"}]
TORQUE = {"value_nm": 70, "text": "70", "unit": "nm", "source": "Workshop manual, edition 3", "angle_deg": None}

STANDING = """
    const standing = { alpha: 0, beta: 80, gamma: 0 };
    setInterval(() => dispatchEvent(new DeviceOrientationEvent("deviceorientation", standing)), 50);
"""
WAKE = """
    globalThis.wakes = [];
    const release = async () => { globalThis.wakes.push("released"); };
    const lock = () => ({ released: false, release });
    const request = async (kind) => { globalThis.wakes.push(kind); return lock(); };
    Object.defineProperty(navigator, "wakeLock", { value: { request } });
"""


@pytest.fixture
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


def fields(phone: SeededPhone, slot: str) -> list:
    return [each["body"]["value"] for each in phone.bodies("field-set") if each["slot"] == slot]


def to_plan(phone: SeededPhone, *facts) -> None:
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, *facts])
    phone.work_until("round.1.plan")
    phone.show("step/round.1.plan")


def test_a_pair_tried_on_the_map_stands_beside_and_is_recorded_as_not_recommended(phone):
    to_plan(phone, bolts(4, 100))
    driver = phone.driver
    driver.key("map-left").locator("summary").click()
    plot = driver.key("map-left").locator("svg.tilt-map")
    box = plot.bounding_box()
    plot.click(position={"x": box["width"] * 0.6, "y": box["height"] * 0.4})
    tried = driver.key("plan-tried")
    expect(tried).to_contain_text("with the recommended plan")
    said = tried.locator('[data-key="pair-left"]').inner_text()
    assert said != driver.key("plan-both").locator('[data-key="pair-left"]').inner_text()
    driver.tap_on("take-tried")
    (chosen,) = (each["body"] for each in phone.bodies("plan-chosen"))
    assert chosen["recommended"] is False
    assert all(str(mark) in said for mark in chosen["plan"]["left"]["pair"])
    phone.show("step/round.1.plan")
    expect(driver.key("plan-tried").locator('[data-key="chosen"]')).to_be_visible()


def test_the_plan_follows_an_aim_and_the_aim_is_kept_with_it(phone):
    to_plan(phone)
    driver = phone.driver
    pair = driver.key("plan-both").locator('[data-key="pair-left"]')
    before = pair.inner_text()
    driver.tap("aims")
    for _ in range(3):
        driver.tap("aim-left-camber-top-in")
    expect(driver.key("aim-left-camber")).to_contain_text("1.15° top in")
    expect(pair).not_to_have_text(before)
    phone.page.reload()
    expect(driver.key("aim-left-camber")).to_contain_text("1.15° top in")
    driver.take_recommended()
    assert fields(phone, "aim.left") == [[-1150, 100]]
    (chosen,) = (each["body"] for each in phone.bodies("plan-chosen"))
    assert (chosen["input"]["windows"]["left"]["aim"], chosen["recommended"]) == ([-1150, 100], True)


def test_a_set_that_does_not_suit_or_is_left_out_is_not_chosen_from(phone):
    to_plan(phone, bolts(4, 110))  # the clearances would cut through the rim of the smallest rings
    driver = phone.driver
    expect(driver.key("set-demo-40")).to_contain_text("does not suit")
    expect(driver.key("set-demo-40")).to_contain_text("choose wider rings")
    driver.tap("choose-sets")
    assert driver.key("from-set-demo-40").count() == 0
    driver.key("from-set-demo-66").uncheck()
    expect(driver.key("plan-both").locator('[data-key="pair-left"]')).to_contain_text("Demo 54")
    driver.take_recommended()
    (chosen,) = (each["body"] for each in phone.bodies("plan-chosen"))
    assert chosen["input"]["ring_sets"] == list(chosen["tables"]) == ["demo-54"]


def test_a_plan_that_the_arch_refuses_cannot_be_taken(phone):
    to_plan(phone, *([f"vehicle.{name}", "field-set", {"value": {"text": str(mm), "number": mm, "unit": "mm"}}]
                     for name, mm in (("arch-gap", 5), ("tyre-radius", 316))))  # fmt: skip
    driver = phone.driver
    expect(driver.key("plan-both")).to_contain_text("further than there is room in the arch")
    assert not driver.shows("choose-recommended")
    assert not driver.shows("take-both")
    driver.tap("more-none")
    expect(driver.key("take-none")).to_be_visible()


def test_out_of_reach_says_what_to_do_next(phone):
    phone.open_job([DESCRIPTION, *WINDOWS, reading("base.left.1", -4600, 900), reading("base.right.1", -1000, 100)])
    phone.work_until("round.1.plan")
    driver = phone.show("step/round.1.plan")
    expect(driver.key("out-of-reach")).to_contain_text("No set of this shop would reach every window")
    expect(driver.key("out-of-reach").locator("ol li")).to_have_count(4)
    expect(driver.key("plan-both").locator('[data-key="exact-left"]')).to_contain_text("Composed exactly: camber")
    assert driver.key("plan-both").locator('[data-key="exact-right"]').count() == 0


def test_notes_of_an_axle_described_the_same_way_are_offered_and_kept_only_after_a_look(phone):
    phone.open_job([DESCRIPTION, bolts(), ["fit.torque", "field-set", {"value": TORQUE}]])
    phone.open_job([["vehicle.description", "field-set", {"value": "marrow vale estate, 1.8"}]])
    driver = phone.show("step/vehicle.bolts")
    expect(driver.key("axle-notes")).to_contain_text("5 bolts, circle 110 mm, M12 × 1.5, 10.9")
    driver.tap("take-notes")
    assert driver.key("bolts-circle").input_value() == "110"
    assert driver.key("bolts-engaged").input_value() == "", "how far they are in is measured on each vehicle"
    assert fields(phone, "vehicle.bolts") == []
    driver.key("bolts-engaged").fill("18,5")
    driver.tap_on("keep")
    (kept,) = fields(phone, "vehicle.bolts")
    assert (len(kept["bolts"]["at"]), kept["bolts"]["engaged_mm"]) == (5, 18.5)


def test_typed_bolts_that_do_not_fit_are_refused_and_stay(phone):
    phone.open_job([DESCRIPTION])
    driver = phone.show("step/vehicle.bolts")
    driver.key("bolts-count").fill("2.5")
    driver.key("bolts-circle").fill("110")
    driver.tap("keep")
    expect(driver.key("bolts-count-error")).to_contain_text("Expected a number from 2 to 24")
    phone.page.reload()
    assert (driver.key("bolts-count").input_value(), driver.key("bolts-circle").input_value()) == ("2.5", "110")


def test_needs_of_a_pair_longer_bolts_spacers_and_a_card(phone):
    lugs = {"lugs": [[95, 70], [95, 110]], "stock": [{"thickness_mm": 5, "quantity": 4}], "engaged_mm": 20}
    answers = {
        "vehicle.rear-brake": "disc",
        "vehicle.caliper-bracket": "outboard-of-ear",
        "vehicle.bracket-lugs": {"typed": {}, "bracket": lugs},
    }
    given = ([slot, "field-set", {"value": value}] for slot, value in answers.items())
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts(4, 100, engaged_mm=18), *given])
    phone.work_until("prepare.left.right-set")
    driver = phone.show("step/prepare.left.needs")
    driver.same_side()
    expect(driver.key("longer-bolts")).to_contain_text("Longer bolts: at least")
    expect(driver.key("engagement").locator("tbody tr")).to_have_count(4)
    expect(driver.key("spacers")).to_contain_text("put in 5 mm")
    driver.key("card-template").locator("summary").click()
    expect(driver.key("card-template")).to_contain_text("straight from the top of the same circle")
    assert phone.too_wide() <= 0


def test_rings_can_go_in_only_so_far_until_a_fitted_pair_is_ruled_out(phone):
    phone.open_job([DESCRIPTION])
    phone.work_until("vehicle.pair-fitted")
    expect(phone.show("step/vehicle.can-rings-go-in").key("can-go-in")).to_contain_text("must come out first")
    phone.work_until("vehicle.found-photo")
    expect(phone.show("step/vehicle.can-rings-go-in").key("can-go-in")).to_contain_text("Rings can go in here")


def test_turns_counted_at_the_wheel_warn_where_the_bolts_are_handled(phone):
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts(5, 110, engaged_mm=30)])
    phone.work_until("fit.left.bolt-turns")
    driver = phone.show("step/fit.left.last-bolts")
    driver.same_side()
    assert driver.key("longer-bolts").count() == 0
    driver = phone.show("step/fit.left.bolt-turns")
    driver.type_keys("9")
    driver.tap_on("keep")
    for step in ("last-bolts", "bolts-by-hand", "tightened"):
        driver = phone.show(f"step/fit.left.{step}")
        expect(driver.key("turns-clash")).to_contain_text("make 13.5 mm screwed in; 30 mm was typed")
        expect(driver.key("longer-bolts")).to_contain_text("Longer bolts: at least")


def test_the_torque_is_judged_and_only_its_source_is_offered(phone):
    phone.open_job([DESCRIPTION, ["fit.torque", "field-set", {"value": TORQUE}]])
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts()])
    phone.work_until("fit.torque")
    driver = phone.show("step/fit.torque")
    assert driver.key("torque").input_value() == ""
    driver.tap("take-source")
    assert driver.key("torque-source").input_value() == TORQUE["source"]
    for text, judged in (("70", "Usual"), ("700", "High"), ("7", "Low")):
        driver.tap("key-clear")
        driver.type_keys(text)
        expect(driver.key("torque-judged")).to_contain_text(judged)


IN_SIGHT = """(node) => {
    const [box, view] = [node, document.getElementById('main')].map((each) => each.getBoundingClientRect());
    return box.top >= view.top && box.bottom <= view.bottom && box.height > 200;
}"""


@pytest.mark.parametrize("step", ["rings-in", "position-seen"])
def test_what_is_confirmed_of_the_rings_is_in_sight_with_the_button(phone, step):
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts(4, 100)])
    phone.work_until(f"fit.left.{step}")
    driver = phone.show(f"step/fit.left.{step}")
    driver.same_side()
    phone.page.evaluate("() => { document.querySelector('[data-key=notice]').textContent = 'Kept: '.repeat(12); }")
    picture = driver.key("ring-drawing").locator(".ring-picture")
    expect(picture).to_be_visible()
    assert picture.evaluate(IN_SIGHT), "the whole picture, nothing scrolled, under a line that says what was kept"
    expect(driver.key("ring-drawing")).to_contain_text("meets")
    expect(driver.key("done")).to_be_in_viewport()
    expect(driver.key("drawing-stack")).to_be_hidden()
    driver.key("drawing-more").locator("summary").click()
    expect(driver.key("drawing-stack")).to_be_visible()


def test_a_hold_on_a_drawing_is_confirmed_right_under_it(phone):
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts(4, 100)])
    phone.work_until("prepare.left.last-look")
    driver = phone.show("step/prepare.left.last-look")
    driver.same_side()
    drawn, confirm = driver.key("ring-drawing").bounding_box(), driver.key("confirm").bounding_box()
    assert 0 <= confirm["y"] - (drawn["y"] + drawn["height"]) <= 24


def test_bolts_are_tightened_one_by_one_and_a_reload_goes_on_there(phone):
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, bolts(5, 110)])
    phone.work_until("fit.left.tightened")
    driver = phone.show("step/fit.left.tightened")
    driver.same_side()
    expect(driver.key("bolt-stage")).to_contain_text("Stage 1 of 3: about a third of the torque")
    for _ in range(6):
        driver.tap("bolt-done")
    phone.page.reload()
    expect(driver.key("bolt-stage")).to_contain_text("Stage 2 of 3: about two thirds of the torque")
    expect(driver.key("bolt-now")).to_contain_text("(2 of 5)")


def test_the_first_rest_of_the_level_waits_for_the_second(phone):
    phone.context.add_init_script(STANDING)
    phone.open_job([DESCRIPTION, *WINDOWS, *READ])
    phone.work_until("fit.chocked")
    driver = phone.show("step/fit.left.level-ride")
    driver.same_side()
    driver.tap("level-ride")
    expect(driver.key("level-kept")).to_be_visible()
    phone.work_until("fit.left.rings-in")
    phone.show("step/fit.left.level-hanging")
    phone.page.reload()
    driver.same_side()
    assert driver.key("level-hanging").is_enabled()


def test_the_screen_stays_awake_while_fitting_and_not_among_the_jobs(phone):
    phone.context.add_init_script(WAKE)
    phone.open_job([DESCRIPTION, *WINDOWS, *READ])
    phone.work_until("fit.torque")
    phone.show("step/base.readings")
    assert phone.page.evaluate("() => globalThis.wakes") == []
    driver = phone.show("step/fit.torque")
    driver.tap("key-7")
    phone.page.wait_for_function("() => globalThis.wakes.length > 0")
    driver.tap("key-0")
    assert phone.page.evaluate("() => globalThis.wakes") == ["screen"], "asked once while it is held"
    driver.tap_on("back")
    phone.page.wait_for_function("() => globalThis.wakes.at(-1) === 'released'")


def test_a_refused_wake_lock_changes_nothing(phone):
    refusing = "{ value: { request: async () => { throw new DOMException('low battery', 'NotAllowedError'); } } }"
    phone.context.add_init_script(f"Object.defineProperty(navigator, 'wakeLock', {refusing});")
    phone.open_job([DESCRIPTION, *WINDOWS, *READ])
    phone.work_until("fit.torque")
    driver = phone.show("step/fit.torque")
    driver.type_keys("70")
    assert driver.key("torque").input_value() == "70"


def test_rings_that_an_earlier_job_left_in_this_vehicle_are_told_with_the_question(phone):
    left = {"ring_set": "demo-54", "pair": [12, 31], "effect": [0, 0]}
    plan = {"plan": {"left": left, "right": None}, "input": {}, "tables": {}, "advice": [], "recommended": True}
    signed = [["round.1.plan", "plan-chosen", plan], [None, "job-signed", {"covers": []}]]
    phone.open_job([["vehicle.registration", "field-set", {"value": "QX 41 LTM"}], *signed])
    phone.open_job([["vehicle.registration", "field-set", {"value": "qx41-ltm"}]])
    driver = phone.show("step/vehicle.pair-fitted")
    told = driver.key("earlier-rings")
    expect(told).to_contain_text("inner 12 meets outer 31, at the top")
    expect(told).to_contain_text("RIGHT: No rings here")
