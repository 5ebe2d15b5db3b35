"""From a result with an angle outside into the next round: what stands first, what may come out, which plan holds."""

import re

from fitted_phone import (
    BASE,
    check,
    plan_of,
    read_with,
    rings_of,
    say_what_is_true,
    see_what_it_gives,
    way_on,
)  # fmt: skip
from playwright.sync_api import expect

WRITE_PLAN = """async ([job, body, beside]) => {
    const phone = await (await import("/js/store/phone.js")).openPhone();
    const there = (await phone.entries(job)).filter(({ slot }) => slot === "round.2.plan").map(({ id }) => id);
    const after = beside ? [] : there;
    await phone.save({ job, kind: "plan-chosen", slot: "round.2.plan", after, body, by: "Another" });
}"""


def read_left_off(phone, by: tuple[int, int]) -> None:
    """Read the left wheel off its plan by a change that no known cause makes, the right one as planned."""
    plan = plan_of(phone, 1)["plan"]
    left = read_with(BASE["left"], rings_of(plan["left"]))
    off = tuple(mdeg + change for mdeg, change in zip(left, by, strict=True))
    check(phone, "check.readings", off, read_with(BASE["right"], rings_of(plan["right"])))


def begin_again(phone) -> None:
    """Begin a second round that refits the left wheel as planned."""
    read_left_off(phone, (430, -560))
    say_what_is_true(phone.driver, "left", "between-faces")
    phone.driver.tap_on("start-round")


def write_plan(phone, body: dict, beside: bool = False) -> None:
    """Save a plan of the second round as another phone wrote it, in place of what is there or beside it."""
    phone.page.evaluate(WRITE_PLAN, [phone.job, body, beside])


def test_with_an_angle_outside_the_way_on_is_another_round_and_finishing_says_what_stays(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    read_left_off(phone, (430, -560))
    expect(way_on(driver)).to_have_text("Look for the cause")
    finish = driver.key("finish-outside")
    expect(finish).to_contain_text(re.compile(r"stays outside.*LEFT, toe by 0\.\d\d°"))
    expect(finish.locator("button")).to_have_text(re.compile(r"^Go on to Finish, \d outside$"))
    driver.tap("to-next-round")
    expect(driver.key("true-left")).to_be_in_viewport()
    driver.tap("true-left-between-faces")
    expect(driver.key("true-right")).to_be_hidden()  # of a wheel that stays closed nothing hangs on it
    see_what_it_gives(driver)
    expect(way_on(driver)).to_have_text("Begin round 2")
    driver.tap_on("next")
    assert driver.slot == "finish.front"
    assert len(phone.bodies("plan-chosen")) == 1


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
    driver.tap_on("start-round")
    second = plan_of(phone, 2)
    assert (second["open"], second["bare"], second["plan"]["left"], second["plan"]["right"]) == (
        ["left"], ["left"], None, None,
    )  # fmt: skip
    phone.show("step/round.2.plan")
    expect(driver.key("bare-left")).to_contain_text("carries no new plan")
    expect(way_on(driver)).to_have_text("Next")
    assert not [each for each in phone.bodies("step-done") if each["slot"] == "round.2.fit.left.pair-out"]
    phone.work_until("round.2.check.readings")
    holds = {each["slot"] for each in phone.bodies("step-done") if each["body"]["hold"]}
    for name in ("chocked", "supported", "left.pair-out", "left.bare-bolts", "pedal"):
        assert f"round.2.fit.{name}" in holds
    bare = second["plan"]["predicted"]
    check(phone, "round.2.check.readings", tuple(bare["left"]), tuple(bare["right"]))
    see_what_it_gives(driver)
    driver.tap_on("start-round")
    third = plan_of(phone, 3)
    assert (third["open"], "bare" in third) == (["left"], False)
    assert third["plan"]["left"] is not None, "the bare reading is good to plan from"


def test_a_later_plan_of_an_older_program_stands_though_it_wrote_otherwise_where_rings_may_go(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    begin_again(phone)
    body = plan_of(phone, 2)
    wheels = {side: each | {"rings": "yes"} for side, each in body["input"]["wheels"].items()}
    write_plan(phone, body | {"input": body["input"] | {"wheels": wheels}})
    phone.show("step/round.2.plan")
    expect(way_on(driver)).to_have_text("Next")
    assert driver.key("plan-stale").count() == 0


def test_plans_that_open_different_wheels_are_said_and_one_of_them_is_made_to_hold(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    begin_again(phone)
    body = plan_of(phone, 2)
    write_plan(phone, body | {"open": ["right"], "less": {"left": [0, 0], "right": [0, 0]}}, beside=True)
    phone.show("step/round.2.plan")
    expect(driver.key("round-disputed")).to_contain_text("nothing is opened")
    expect(driver.key("plan-both")).to_have_count(0)
    assert way_on(driver).count() == 0
    mine = driver.key("round-disputed").locator(".stack", has_text="RIGHT stays closed").locator("button")
    mine.click()
    expect(way_on(driver)).to_have_text("Next")
    expect(driver.key("round-disputed")).to_have_count(0)
    expect(driver.key("pair-right").first).to_have_text("Stays closed: nothing is done to this wheel")
