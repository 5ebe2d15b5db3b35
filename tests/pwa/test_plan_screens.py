"""The Plan sheet: pairs tried, aims moved, sets that do not suit, readings that disagree, what is out of reach.

What the sheet computes is held to calc elsewhere; here a person's taps reach it and what they keep is recorded. One
phone for the module; every test has a job of its own.
"""

import re

import pytest
from playwright.sync_api import expect
from seeded_phone import DESCRIPTION, READ, WINDOWS, SeededPhone, angle, bolts, reading
from sheet_driver import CAME_MS

REACHED = 'main [data-key="plan-table"]'


@pytest.fixture(scope="module")
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


def to_plan(phone: SeededPhone, *facts, read=READ, until="round.1.plan") -> None:
    """Open a job with readings and what else is known; its Plan sheet is on the screen, with no plan taken."""
    phone.open_job([DESCRIPTION, *WINDOWS, *read, *facts])
    phone.work_until(until)
    phone.show("sheet/plan")


def taken(phone: SeededPhone) -> dict:
    phone.driver.wait_for("chosen")
    (chosen,) = (each["body"] for each in phone.bodies("plan-chosen"))
    return chosen


def unfold(driver, name: str) -> None:
    driver.tap_node(driver.key(name).locator("summary").first)


def measure(name: str, mm: int) -> list:
    return [f"vehicle.{name}", "field-set", {"value": {"text": str(mm), "number": mm, "unit": "mm"}}]


@pytest.mark.full
def test_a_pair_tried_on_the_map_is_said_in_sight_and_recorded_as_not_recommended(phone):
    to_plan(phone, bolts(4, 100))
    driver = phone.driver
    pair = driver.key("plan").locator('[data-key="pair-left"]')
    before = pair.inner_text()
    unfold(driver, "map-left")
    plot = driver.key("map-left").locator("svg.tilt-map")
    plot.scroll_into_view_if_needed()
    phone.page.wait_for_timeout(CAME_MS)
    box = plot.bounding_box()
    plot.click(position={"x": box["width"] * 0.6, "y": box["height"] * 0.4})
    said = driver.key("map-left").locator(".map-said")
    expect(said).to_contain_text("meets")
    middle, answer = phone.page.locator("#main").bounding_box(), said.bounding_box()
    assert middle["y"] <= answer["y"]
    assert answer["y"] + answer["height"] <= middle["y"] + middle["height"] + 1
    expect(pair).not_to_have_text(before)
    driver.tap("take-tried")
    chosen = taken(phone)
    assert chosen["recommended"] is False
    assert all(str(mark) in pair.inner_text() for mark in chosen["plan"]["left"]["pair"])
    driver.tap("other-plans")
    driver.tap("more-both")
    driver.tap("take-both")
    driver.wait_gone("more-both")
    assert phone.bodies("plan-chosen")[-1]["body"]["recommended"] is True, "the recommended one can be had back"


@pytest.mark.full
def test_the_plan_follows_an_aim_and_the_aim_is_kept_with_it(phone):
    to_plan(phone)
    driver = phone.driver
    pair = driver.key("plan").locator('[data-key="pair-left"]')
    before = pair.inner_text()
    driver.tap("plan-more")
    driver.tap("aims")
    expect(driver.key("aim-left-camber")).to_contain_text("1.00° top in")
    for _ in range(3):
        driver.tap("aim-left-camber-top-in")
    expect(driver.key("aim-left-camber")).to_contain_text("1.15° top in")
    expect(pair).not_to_have_text(before)
    phone.page.wait_for_timeout(400)
    phone.page.reload()
    driver.settle()
    expect(pair).not_to_have_text(before)
    driver.tap("take-plan")
    chosen = taken(phone)
    assert phone.fields("aim.left") == [[-1150, 100]]
    assert (chosen["input"]["windows"]["left"]["aim"], chosen["recommended"]) == ([-1150, 100], True)


@pytest.mark.full
def test_a_set_that_does_not_suit_or_is_left_out_is_not_chosen_from(phone):
    to_plan(phone, bolts(4, 110))  # the clearances would cut through the rim of the smallest rings
    driver = phone.driver
    driver.tap("plan-more")
    expect(driver.key("set-demo-40")).to_contain_text("does not suit")
    expect(driver.key("set-demo-40")).to_contain_text("choose wider rings")
    driver.tap("choose-sets")
    assert driver.key("from-set-demo-40").count() == 0
    driver.tap("from-set-demo-66")
    expect(driver.key("plan").locator(".pair-set")).to_contain_text("Demo 54")
    driver.tap("take-plan")
    assert taken(phone)["input"]["ring_sets"] == ["demo-54"]


def test_a_change_that_leaves_the_plan_as_it_is_costs_no_tap_of_a_finger_that_is_down(phone):
    """Cause: the button was drawn anew with each change, and a tap that had begun on the old one was lost."""
    to_plan(phone, bolts(4, 100))
    driver = phone.driver
    take = driver.key("take-plan")
    take.scroll_into_view_if_needed()
    phone.page.wait_for_timeout(CAME_MS)
    box, table = take.bounding_box(), driver.key("plan").locator("table").element_handle()
    phone.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    phone.page.mouse.down()
    phone.save_elsewhere(None, "note-written", {"text": "x"})
    phone.page.wait_for_function("(table) => !table.isConnected", arg=table)
    phone.page.mouse.up()
    assert taken(phone)["input"]["ring_sets"]


def test_a_plan_that_the_arch_refuses_cannot_be_taken(phone):
    to_plan(phone, measure("arch-gap", 5), measure("tyre-radius", 316))
    driver = phone.driver
    expect(driver.key("plan")).to_contain_text("further than there is room in the arch")
    assert not driver.shows("take-plan")
    driver.tap("other-plans")
    driver.tap("more-none")
    expect(driver.key("take-none")).to_be_visible()


@pytest.mark.full
def test_readings_that_contradict_each_other_have_no_mean_and_make_no_plan(phone):
    """Cause: top out and top in by the same amount gave a mean of nothing, and rings for a healthy wheel."""
    mirrored = [reading("base.left.1", 870, 100), reading("base.left.2", -870, 100), reading("base.right.1", -900, 60)]
    to_plan(phone, read=mirrored, until="choose.advice")
    driver = phone.driver
    expect(driver.key("missing-left.camber")).to_contain_text("readings of camber disagree")
    phone.show("sheet/readings")
    expect(driver.key("disagree-left-camber")).to_contain_text("Same number, other way?")
    expect(driver.page.locator(".readings-mean")).to_have_count(0)
    driver.tap("strike-base.left.1")
    expect(driver.key("disagree-left-camber")).to_have_count(0)
    expect(driver.key("struck-base.left.1")).to_contain_text("struck by Iris Vance: 0.87° top out")
    assert phone.fields("struck.base.left.1") == [{"reason": ""}]
    driver.tap("unstrike-base.left.1")
    expect(driver.key("disagree-left-camber")).to_be_visible()
    driver.tap("strike-base.left.1")
    phone.show("sheet/plan")
    expect(driver.page.locator(REACHED).first).to_be_visible()


@pytest.mark.full
def test_out_of_reach_says_what_to_do_next_and_what_the_other_way_gives_up(phone):
    to_plan(
        phone, read=[reading("base.left.1", -4600, 900), reading("base.right.1", -1000, 100)], until="choose.advice"
    )
    driver = phone.driver
    expect(driver.key("out-of-reach")).to_contain_text("No set of this shop would reach every window")
    expect(driver.key("out-of-reach").locator("ol li")).to_have_count(4)
    plan = driver.key("plan")
    expect(plan.locator('[data-key="exact-left"]')).to_contain_text("Composed exactly: camber")
    assert plan.locator('[data-key="exact-right"]').count() == 0
    assert not driver.shows("take-plan")
    expect(driver.key("advice-first")).to_be_visible()
    assert "one-wheel-off" in driver.advice
    driver.tap("other-plans")
    driver.tap("more-other-way")
    expect(driver.key("gives-up")).to_contain_text("more toe outside gains")
    assert not driver.shows("take-other-way"), "advice stands before every plan"


def test_half_a_sentence_on_an_advice_is_no_answer_and_is_there_after_the_program_was_closed(phone):
    read = [reading("base.left.1", -4600, 900), reading("base.right.1", -1000, 100)]
    to_plan(phone, read=read, until="choose.advice")
    driver = phone.driver
    advice = driver.key("looked-one-wheel-off")
    driver.type_into("looked-one-wheel-off", "Bushes looked")
    driver.leave_field()
    phone.show("sheet/vehicle")
    phone.show("sheet/plan")
    expect(advice).to_have_value("Bushes looked")
    phone.page.reload()
    expect(advice).to_have_value("Bushes looked")
    assert phone.fields("choose.advice") == [], "nobody said that this is all"
    expect(driver.key("answered-one-wheel-off")).to_have_count(0)
    expect(driver.key("unsaid-one-wheel-off")).to_contain_text("Not recorded yet")
    driver.tap("found-one-wheel-off")
    driver.wait_for("answered-one-wheel-off")
    expect(driver.key("unsaid-one-wheel-off")).to_be_hidden()
    expect(driver.key("found-one-wheel-off")).to_be_hidden()
    assert phone.fields("choose.advice")[-1]["one-wheel-off"]["text"] == "Bushes looked"
    advice.fill("Bushes looked at: sound")
    expect(driver.key("found-one-wheel-off")).to_be_visible()
    advice.press("Enter")
    expect(driver.key("found-one-wheel-off")).to_be_hidden()
    assert phone.fields("choose.advice")[-1]["one-wheel-off"]["text"] == "Bushes looked at: sound"


def test_another_plan_is_taken_and_consent_that_was_given_is_asked_for_anew(phone):
    to_plan(phone, read=[reading("base.left.1", -1640, 420), reading("base.right.1", -1120, 60)])
    driver = phone.driver
    driver.tap("take-plan")
    driver.wait_for("chosen")
    driver.tap("consent-words")
    findings, work = (driver.key(f"consent-{name}") for name in ("findings", "work"))
    expect(findings).to_have_value(re.compile(r"LEFT rear wheel: camber 1\.64° top in \(outside by 0\.14°", re.DOTALL))
    expect(work).to_have_value(re.compile(r"RIGHT rear wheel: no rings\."))
    for name, text in (("price", "200"), ("customer", "A. Person")):
        driver.type_into(f"consent-{name}", text)
    driver.tap("consent-risks")
    driver.tap("consent-how-by-phone")  # the last answer records it
    driver.wait_state("consent")
    driver.tap("other-plans")
    driver.tap("more-both")
    driver.tap("take-both")
    driver.wait_state("consent", "open")
    expect(driver.row("consent").locator('[data-key="warning"]')).to_be_visible()
    expect(work).to_have_value(re.compile("RIGHT rear wheel: a pair of tapered rings"))
    expect(driver.key("consent-price")).to_have_value("200")
    expect(driver.key("consent-risks")).to_have_attribute("aria-pressed", "false")


@pytest.mark.full
def test_a_window_open_on_one_side_is_typed_said_judged_and_aimed_inside_its_edge(phone):
    facts = [fact for fact in WINDOWS if fact[0] not in ("window.left.camber", "window.right.camber", "window.thrust")]
    phone.open_job([DESCRIPTION, *facts, reading("base.left.1", -300, 420), READ[1]])
    phone.work_until("choose.advice")
    driver = phone.show("sheet/readings")
    driver.angle("window.camber.high", "0.5", "top-in")
    driver.tap("windows-none")
    expect(driver.key("window-camber")).to_contain_text("0.50° top in, or further top in")
    expect(driver.key("window-thrust")).to_contain_text("none given")
    most = {"low": None, "high": angle(-500, "camber")}
    assert phone.fields("window.left.camber")[-1] == phone.fields("window.right.camber")[-1] == most
    driver.angle("window.camber.high", "0.6", "top-in")
    expect(driver.key("window-camber")).to_contain_text("0.60° top in, or further top in")
    driver.angle("window.camber.high", "0.5", "top-in")
    expect(driver.key("window-camber")).to_contain_text("0.50° top in, or further")
    expect(driver.cell("base.left.camber.1")).to_contain_text("outside by 0.20")
    phone.show("sheet/plan")
    driver.tap("plan-more")
    driver.tap("aims")
    expect(driver.key("aim-left-camber")).to_contain_text("0.61° top in")
    for code in driver.advice:
        driver.answer_advice(code)
    driver.tap("take-plan")
    chosen = taken(phone)
    assert chosen["input"]["windows"]["left"]["camber"] == [None, -500]
    assert chosen["plan"]["predicted"]["left"][0] < -500
