"""From a result with an angle outside into the next round: what stands first, what may come out, which plan holds."""

import re

import pytest
from fitted_phone import (
    BASE,
    begin_round,
    check,
    plan_of,
    read_with,
    rings_of,
    say_what_is_true,
    see_what_it_gives,
)  # fmt: skip
from playwright.sync_api import expect

WRITE_PLAN = """async ([job, body, beside]) => {
    const phone = await (await import("/js/store/phone.js")).openPhone();
    const there = (await phone.entries(job)).filter(({ slot }) => slot === "round.2.plan").map(({ id }) => id);
    const after = beside ? [] : there;
    await phone.save({ job, kind: "plan-chosen", slot: "round.2.plan", after, body, by: "Another" });
}"""

WRITE_ELSEWHERE = """async (job) => {
    const phone = await (await import("/js/store/phone.js")).openPhone();
    const body = { value: "half" };
    await phone.save({ job, kind: "field-set", slot: "vehicle.tank", after: [], body, by: "Another" });
}"""


def read_left_off(phone, by: tuple[int, int]) -> None:
    """Read the left wheel off its plan by a change that no known cause makes, the right one as planned."""
    plan = plan_of(phone, 1)["plan"]
    left = read_with(BASE["left"], rings_of(plan["left"]))
    off = tuple(mdeg + change for mdeg, change in zip(left, by, strict=True))
    check(phone, 1, off, read_with(BASE["right"], rings_of(plan["right"])))


def write_plan(phone, body: dict, beside: bool = False) -> None:
    """Save a plan of the second round as another phone wrote it, in place of what is there or beside it."""
    phone.page.evaluate(WRITE_PLAN, [phone.job, body, beside])


@pytest.mark.full
def test_with_an_angle_outside_another_round_stands_open_and_signing_says_what_stays(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    read_left_off(phone, (430, -560))
    expect(driver.key("result")).to_contain_text(re.compile(r"outside.*LEFT, toe by 0\.\d\d°", re.DOTALL))
    expect(driver.key("true-left")).to_be_visible()
    expect(driver.key("start-round")).to_have_count(0)  # nothing is begun before somebody has looked
    driver.tap("true-left-between-faces")
    expect(driver.key("true-right")).to_be_hidden()  # of a wheel that stays closed nothing hangs on it
    card = driver.key("next-round").element_handle()
    phone.page.evaluate(WRITE_ELSEWHERE, phone.job)
    phone.page.wait_for_function("card => !card.isConnected", arg=card)
    expect(driver.key("true-left-between-faces")).to_be_checked()  # what others write meanwhile takes no answer away
    see_what_it_gives(driver)
    driver.tap_on("next")
    assert (driver.sheet, len(phone.bodies("plan-chosen"))) == ("finish", 1), "the main button begins no round"
    expect(driver.key("sign-summary")).to_contain_text(re.compile(r"LEFT, toe.*outside by 0\.\d\d°"))


@pytest.mark.full
def test_with_something_between_the_faces_the_pair_may_come_out_and_nothing_new_is_planned(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    read_left_off(phone, (430, -560))
    driver.tap("true-left-between-faces")
    driver.tap("kind-second")
    expect(driver.key("not-from-faces")).to_contain_text("take the pair out")
    assert driver.key("start-round").count() == 0
    driver.tap("kind-out")
    expect(driver.key("out-then")).to_contain_text("read the wheel bare")
    see_what_it_gives(driver)
    begin_round(driver)
    second = plan_of(phone, 2)
    assert (second["open"], second["bare"], second["plan"]["left"], second["plan"]["right"]) == (
        ["left"], ["left"], None, None,
    )  # fmt: skip
    expect(driver.key("bare-left")).to_contain_text("carries no new plan")
    expect(driver.key("chosen")).to_be_visible()
    assert not [each for each in phone.bodies("step-done") if each["slot"] == "round.2.fit.left.pair-out"]
    phone.work_until("round.2.check.readings")
    holds = {each["slot"] for each in phone.bodies("step-done") if each["body"]["hold"]}
    for name in ("chocked", "supported", "left.pair-out", "left.bare-bolts", "pedal"):
        assert f"round.2.fit.{name}" in holds
    bare = second["plan"]["predicted"]
    check(phone, 2, tuple(bare["left"]), tuple(bare["right"]))
    see_what_it_gives(driver)
    begin_round(driver)
    third = plan_of(phone, 3)
    assert (third["open"], "bare" in third) == (["left"], False)
    assert third["plan"]["left"] is not None, "the bare reading is good to plan from"


@pytest.mark.full
def test_plans_of_a_later_round_that_others_wrote_stand_or_are_made_to_hold(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    read_left_off(phone, (430, -560))
    say_what_is_true(driver, "left", "between-faces")
    begin_round(driver)
    body = plan_of(phone, 2)
    # an older program wrote otherwise where rings may go
    wheels = {side: each | {"rings": "yes"} for side, each in body["input"]["wheels"].items()}
    write_plan(phone, body | {"input": body["input"] | {"wheels": wheels}})
    phone.show("sheet/finish")
    phone.show("sheet/round.2.plan")
    expect(driver.key("chosen")).to_be_visible()
    assert driver.key("plan-stale").count() == 0

    write_plan(phone, body | {"open": ["right"], "less": {"left": [0, 0], "right": [0, 0]}}, beside=True)
    expect(driver.key("round-disputed")).to_contain_text("nothing is opened")
    expect(driver.key("plan-table")).to_have_count(0)
    assert driver.key("take-plan").count() == 0
    mine = driver.key("round-disputed").locator(".stack", has_text="RIGHT stays closed").locator("button")
    driver.tap_node(mine)
    expect(driver.key("chosen")).to_be_visible()
    expect(driver.key("round-disputed")).to_have_count(0)
    expect(driver.key("pair-right").first).to_have_text("Stays closed: nothing is done to this wheel")
