"""Fitting aids on the sheets: bolts, spacers, torques, read-back, bolt mode, the level, a screen that stays awake.

What the sheets compute is held to calc elsewhere; here a person's taps reach it and what they keep is recorded. One
phone for the module; every test has a job of its own.
"""

import time

import pytest
from playwright.sync_api import expect
from seeded_phone import DESCRIPTION, READ, SOURCE, WINDOWS, SeededPhone, bolts
from sheet_walk import SheetWalk, tell_hub_bolts

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
# Whether a screen that refuses to stay awake is asked again, and no more than that.
REFUSED = """async () => {
    const { WakeLock } = await import("/js/ui/wake-lock.js");
    let asked = 0;
    const request = async () => { asked += 1; throw new DOMException("low battery", "NotAllowedError"); };
    const page = Object.assign(new EventTarget(), { visibilityState: "visible" });
    const wake = new WakeLock(page, { request });
    wake.want(true);
    await Promise.resolve();
    page.dispatchEvent(new Event("click"));
    await new Promise((resolve) => setTimeout(resolve));
    page.dispatchEvent(new Event("click"));
    return asked;
}"""


@pytest.fixture(scope="module")
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    phone.context.add_init_script(WAKE)
    yield phone
    phone.close()


@pytest.fixture
def standing_phone(whole_browser, origin):
    """One whose sensor says that it stands upright; the shell hears of no motion."""
    phone = SeededPhone(whole_browser, origin)
    phone.context.add_init_script(STANDING)
    yield phone
    phone.close()


def to_fit(phone: SeededPhone, until: str, *facts, pairs: int = 2):
    """Work a job whose plan opens both wheels until a row is next."""
    phone.open_job([DESCRIPTION, *WINDOWS, *READ, *facts])
    assert phone.work_until(until, pairs=pairs) == until
    return phone.driver


def to_bolt_length(phone: SeededPhone, turns: int):
    """Count the turns of a bolt at the left hub, and work on until the bolts that close it are next."""
    driver = to_fit(phone, "fit.left.hub-free", bolts(5, 110, engaged_mm=30))
    phone.show("sheet/wheel.left")
    driver.tap("more-hub-off")
    driver.number("fit.left.bolt-turns", str(turns))
    driver.tap("key-next")
    driver.wait_state("fit.left.bolt-turns")
    phone.work_until("fit.left.bolt-length")
    phone.show("sheet/wheel.left")
    return driver


@pytest.mark.full
def test_notes_of_an_axle_described_the_same_way_are_offered_and_kept_only_after_a_tap(phone):
    phone.open_job([DESCRIPTION, bolts(), ["fit.torque", "field-set", {"value": TORQUE}]])
    phone.open_job([["vehicle.description", "field-set", {"value": "marrow vale estate, 1.8"}]])
    phone.work_until("vehicle.mounting")
    driver = phone.show("sheet/possible")
    expect(driver.key("take-notes")).to_be_visible()
    assert phone.fields("vehicle.bolts") == []
    driver.tap("take-notes")
    expect(driver.key("cell-vehicle.bolts.circle")).to_have_value("110")
    expect(driver.key("cell-vehicle.bolts.turns")).to_have_value("")  # how far they are in is measured on each vehicle
    driver.number("vehicle.bolts.turns", "12")
    driver.number("vehicle.bolts.length", "45")
    driver.tap("key-next")
    phone.page.wait_for_function("() => document.querySelector('[data-key=\"bolts-said\"]').textContent === ''")
    expect(driver.row("vehicle.bolts")).to_have_attribute("data-state", "done")
    kept = phone.fields("vehicle.bolts")[-1]["bolts"]
    assert (len(kept["at"]), kept.get("engaged_mm"), kept["turns"]) == (5, None, 12)


def test_typed_bolts_that_do_not_fit_are_refused_and_stay(phone):
    phone.open_job([DESCRIPTION])
    phone.work_until("vehicle.mounting")
    driver = phone.show("sheet/possible")
    driver.tap("bolts-count-other")
    driver.number("vehicle.bolts.count", "25")
    driver.number("vehicle.bolts.circle", "110")
    driver.tap("key-next")
    expect(driver.key("bolts-wrong")).to_contain_text("Expected a number from 2 to 24")
    phone.page.reload()
    driver.settle()
    expect(driver.key("cell-vehicle.bolts.count")).to_have_value("25")
    expect(driver.key("cell-vehicle.bolts.circle")).to_have_value("110")
    assert phone.fields("vehicle.bolts") == []


def test_a_bolt_is_told_in_the_order_in_which_it_is_looked_at_without_a_tap_for_a_field(phone):
    phone.open_job([DESCRIPTION])
    phone.work_until("vehicle.mounting")
    driver = phone.show("sheet/possible")
    driver.taps = 0
    tell_hub_bolts(driver)
    driver.wait_state("vehicle.bolts")
    assert driver.taps == 12, "five chips and seven digits"
    kept = phone.fields("vehicle.bolts")[-1]
    assert (len(kept["bolts"]["at"]), kept["bolts"]["turns"], kept["length_mm"]) == (5, 12, 45)
    assert not driver.shows("bolts-thread")
    driver.tap("bolts-thread-other")
    driver.select("bolts-thread", "16x1.5")
    phone.page.wait_for_function(
        "() => document.querySelector('[data-key=\"bolts-thread-12x1.5\"]').ariaPressed === 'false'"
    )
    assert phone.fields("vehicle.bolts")[-1]["bolts"]["thread"] == {"diameter_mm": 16, "pitch_mm": 1.5}


def test_the_tyre_radius_is_offered_from_the_size_and_a_measured_one_is_left_alone(phone):
    phone.open_job([DESCRIPTION, ["vehicle.tyre-size", "field-set", {"value": "205/55 R16 91V"}]])
    phone.work_until("vehicle.arch-gap")
    driver = phone.show("sheet/possible")
    expect(driver.key("offered-vehicle.tyre-radius")).to_contain_text("Tyre radius: 316 mm, from 205/55 R16 91V")
    assert phone.fields("vehicle.tyre-radius") == [], "nothing is filled in"
    driver.tap("offered-vehicle.tyre-radius")
    expect(driver.key("cell-vehicle.tyre-radius")).to_have_value("316")
    driver.wait_gone("offered-vehicle.tyre-radius")
    assert phone.fields("vehicle.tyre-radius") == [{"text": "316", "number": 316, "unit": "mm"}]


def test_rings_can_go_in_only_so_far_while_a_fitted_pair_is_not_ruled_out(phone):
    phone.open_job([DESCRIPTION])
    phone.work_until("vehicle.pair-fitted")
    driver = phone.show("sheet/possible")
    expect(driver.key("verdict-open")).to_be_visible()
    phone.work_until("vehicle.bolts")
    expect(driver.key("verdict-free")).to_contain_text("Rings can go in here")
    driver.choose("vehicle.pair-fitted", "left")
    expect(driver.key("verdict-free")).to_contain_text("must come out first")


def test_rings_that_an_earlier_job_left_in_this_vehicle_are_told_with_the_registration(phone):
    left = {"ring_set": "demo-54", "pair": [12, 31], "effect": [0, 0]}
    plan = {"plan": {"left": left, "right": None}, "input": {}, "tables": {}, "advice": [], "recommended": True}
    signed = [["round.1.plan", "plan-chosen", plan], [None, "job-signed", {"covers": []}]]
    phone.open_job([["vehicle.registration", "field-set", {"value": "QX 41 LTM"}], *signed])
    phone.open_job([["vehicle.registration", "field-set", {"value": "qx41-ltm"}]])
    told = phone.show("sheet/vehicle").key("vehicle-history")
    expect(told).to_contain_text("inner 12 meets outer 31, at the top")
    expect(told).to_contain_text("RIGHT: No rings here")


def test_torques_are_judged_and_only_a_source_is_offered(phone):
    driver = to_fit(phone, "fit.torque", bolts())
    phone.show("sheet/plan")
    expect(driver.key("cell-fit.torque.torque")).to_have_value("")
    driver.number("fit.torque.torque", "70")
    driver.tap("key-next")
    expect(driver.key("torque-problem")).to_be_visible()
    assert phone.fields("fit.torque") == [], "without its source none is kept"
    driver.tap("source-of-windows")
    expect(driver.key("torque-judged")).to_contain_text("Usual")
    for text, judged in (("700", "High"), ("7", "Low"), ("70", "Usual")):
        driver.number("fit.torque.torque", text)
        driver.tap("key-next")
        expect(driver.key("torque-judged")).to_contain_text(judged)
    driver.number("fit.torque.angle", "400")
    driver.tap("key-next")
    expect(driver.key("torque-problem")).to_contain_text('"400" is not an angle from 1 to 360 degrees')
    driver.number("fit.torque.angle", "90")
    driver.tap("key-next")
    expect(driver.key("torque-judged")).to_contain_text("An angle follows")
    kept = phone.fields("fit.torque")[-1]
    assert (kept["text"], kept["angle_deg"], kept["source"]) == ("70", 90, SOURCE)


def test_a_source_that_is_typed_before_any_torque_is_still_there_and_goes_with_the_first(phone):
    driver = to_fit(phone, "fit.torque", bolts())
    phone.show("sheet/plan")
    driver.type_into("torque-source", "Manual, edition 7")
    driver.leave_field()
    phone.show("sheet/vehicle")
    phone.show("sheet/plan")
    expect(driver.key("torque-source")).to_have_value("Manual, edition 7")
    driver.number("fit.torque.torque", "70")
    driver.tap("key-next")
    driver.wait_state("fit.torque")
    assert phone.fields("fit.torque")[-1]["source"] == "Manual, edition 7"


def test_the_unit_of_the_torques_is_said_by_the_name_that_the_source_prints(phone):
    """A figure does not tell its unit: 70 is usual in both."""
    driver = to_fit(phone, "fit.torque", bolts())
    phone.show("sheet/plan")
    expect(driver.key("torque-unit")).to_be_hidden()
    driver.number("fit.torque.torque", "70")
    driver.tap("key-next")
    driver.tap("source-of-windows")
    driver.wait_state("fit.torque")
    expect(driver.key("torque-unit").locator('[aria-pressed="true"]')).to_have_count(0)
    driver.tap("unit-pound-force-feet")
    expect(driver.key("unit-differs-fit.torque")).to_contain_text("the source prints pound-feet")
    assert phone.fields("fit.torque")[-1]["unit_named"] == "pound-force-feet"
    driver.tap("unit-newton-metres")
    expect(driver.key("unit-differs-fit.torque")).to_have_count(0)
    driver.number("torque.wheel.torque", "120")
    driver.tap("key-next")
    limit = time.monotonic() + 30
    while not phone.fields("torque.wheel") and time.monotonic() < limit:
        phone.page.evaluate("() => new Promise(requestAnimationFrame)")
    assert phone.fields("torque.wheel")[-1]["unit_named"] == "newton-metres", "the same source, the same unit"
    phone.work_until("fit.left.tightened")
    phone.show("sheet/wheel.left")
    expect(driver.key("typed-torque")).to_contain_text("70 N m")
    expect(driver.key("unit-not-named")).to_have_count(0)


def test_a_vehicle_whose_bolts_stay_in_says_why_and_its_sheet_is_done(phone):
    phone.open_job([DESCRIPTION, *WINDOWS, *READ])
    assert phone.work_until("vehicle.bolts") == "vehicle.bolts"
    driver = phone.show("sheet/possible")
    expect(driver.row("vehicle.bolts")).to_have_attribute("data-state", "open")
    driver.tap("bolts-count-5")
    driver.number("vehicle.bolts.circle", "110")
    driver.tap("key-next")
    expect(driver.key("bolts-unmeasured")).to_contain_text("Still missing: Turns of one")
    driver.tap("bolts-stay")
    driver.text("vehicle.bolts-stay", "Seized: the hub stays closed until it is agreed")
    driver.leave_field()
    driver.wait_state("vehicle.bolts")
    expect(driver.row("vehicle.bolts")).to_contain_text("No bolt was backed out")
    expect(driver.key("bolts-stay")).to_be_hidden()
    assert len(phone.fields("vehicle.bolts")[-1]["bolts"]["at"]) == 5, "what was told of them stands"


def test_needs_of_a_pair_longer_bolts_spacers_and_a_card(phone):
    lugs = {"lugs": [[95, 70], [95, 110]], "stock": [{"thickness_mm": 5, "quantity": 4}], "engaged_mm": 20}
    answers = {
        "vehicle.rear-brake": "disc",
        "vehicle.caliper-bracket": "outboard-of-ear",
        "vehicle.bracket-lugs": {"typed": {}, "bracket": lugs},
    }
    given = ([slot, "field-set", {"value": value}] for slot, value in answers.items())
    driver = to_fit(phone, "prepare.left.right-set", bolts(4, 100, engaged_mm=18), *given)
    phone.show("sheet/bench.left")
    needs = driver.row("prepare.left.needs")
    expect(needs.locator('[data-key="longer-bolts"]')).to_contain_text("Longer bolts: at least")
    expect(needs.locator('[data-key="engagement"] tbody tr')).to_have_count(4)
    expect(needs.locator('[data-key="spacers"]')).to_contain_text("put in 5 mm")
    driver.tap_node(driver.key("card-template").locator("summary").first)
    expect(driver.key("card-template")).to_contain_text("straight from the top of the same circle")
    assert phone.too_wide() <= 0


def test_marks_read_back_wrong_are_refused_with_what_is_wrong(phone):
    driver = to_fit(phone, "fit.left.read-back", bolts(4, 100))
    phone.show("sheet/wheel.left")
    inner, outer = phone.bodies("plan-chosen")[-1]["body"]["plan"]["left"]["pair"]
    assert inner != outer

    def read_back(letter: str, *marks: int) -> None:
        driver.tap(f"letter-{letter}")
        for ring, mark in zip(("inner", "outer"), marks, strict=True):
            driver.number(f"fit.left.read-back.{ring}", str(mark))
        # a mark with all its digits goes on by itself, and takes the key away at any moment
        phone.page.evaluate("() => document.querySelector('[data-key=key-next]')?.click()")

    read_back("R", outer, inner)
    for wrong in ("letter", "exchanged"):
        expect(driver.key(f"wrong-{wrong}")).to_be_visible()
    assert driver.state("fit.left.read-back") == "open"
    read_back("L", inner, outer)
    driver.wait_state("fit.left.read-back")
    # The drawing of both rims stands beside what is read.
    expect(driver.row("fit.left.read-back").locator("svg").first).to_be_attached()


def test_turns_counted_at_the_wheel_warn_where_the_bolts_are_handled(phone):
    driver = to_bolt_length(phone, turns=9)
    expect(driver.key("bolts-known")).to_contain_text("9 turns counted here: 13.5 mm screwed in")
    expect(driver.key("turns-clash")).to_contain_text("do not agree")
    expect(driver.key("longer-bolts")).to_contain_text("Longer bolts: at least")
    driver.tap("bolts-before-fit.left.bolt-length")
    driver.wait_state("fit.left.bolt-length", "refused")


@pytest.mark.full
def test_bolts_are_tightened_one_by_one_and_a_reload_goes_on_there(phone):
    driver = to_fit(phone, "fit.left.tightened", bolts(5, 110))
    phone.show("sheet/wheel.left")
    expect(driver.key("bolt-stage")).to_contain_text("Stage 1 of 3")
    driver.tap("bolt-target")
    driver.key("bolt-target").evaluate("target => target.click()")  # at once: a tap of the driver may come too late
    expect(driver.key("bolt-soon")).to_contain_text("Too soon")
    for _ in range(5):
        phone.page.wait_for_timeout(1600)
        driver.tap("bolt-target")
    phone.page.wait_for_timeout(400)
    phone.page.reload()
    driver.settle()
    expect(driver.key("bolt-stage")).to_contain_text("Stage 2 of 3")
    expect(driver.key("bolt-target")).to_contain_text("6 of 15 done")
    assert driver.state("fit.left.tightened") == "open"
    SheetWalk(driver, None, phone.job).tighten("left")
    (record,) = (each["body"] for each in phone.bodies("step-done") if each["slot"] == "fit.left.tightened")
    assert len(record["bolts"]) == 15


@pytest.mark.full
def test_the_first_rest_of_the_level_waits_for_the_second(standing_phone):
    phone = standing_phone
    driver = to_fit(phone, "fit.eased")
    phone.show("sheet/lift")
    driver.tap("more-rows")
    ride = driver.row("fit.left.level-ride")
    driver.tap_node(ride.locator('[data-key="level-ride"]'))
    expect(ride.locator('[data-key="level-kept"]')).to_be_visible()
    assert list(phone.fields("fit.left.level-ride")[0]) == ["angle_deg", "how"]
    phone.work_until("fit.left.wheel-off")
    phone.show("sheet/lift")
    driver.tap("more-rows")
    hanging = driver.row("fit.left.level-hanging")
    expect(hanging.locator('[data-key="level-hanging"]')).to_be_enabled()
    expect(hanging.locator('[data-key="level-ride"]')).to_have_count(0)


@pytest.mark.full
def test_the_screen_stays_awake_where_hands_are_dirty_and_not_elsewhere(phone):
    driver = to_fit(phone, "fit.chocked")
    phone.show("sheet/readings")
    phone.page.evaluate("() => { globalThis.wakes.length = 0; }")
    driver.tap("read-again")
    assert phone.page.evaluate("() => globalThis.wakes") == []
    phone.show("sheet/lift")
    phone.page.wait_for_function("() => globalThis.wakes.length > 0")
    driver.hold("fit.chocked")
    assert phone.page.evaluate("() => globalThis.wakes") == ["screen"], "asked once while it is held"
    driver.tap_on("back")
    phone.page.wait_for_function("() => globalThis.wakes.at(-1) === 'released'")
    assert phone.page.evaluate(REFUSED) == 3, "a refusal changes nothing, and the next tap asks again"
