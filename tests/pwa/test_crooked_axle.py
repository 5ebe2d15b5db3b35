"""A crooked axle on the sheets: lengths and swapped wheels have a place, and what follows is said there."""

import pytest
from playwright.sync_api import expect
from seeded_phone import DESCRIPTION, WINDOWS, SeededPhone, reading

pytestmark = pytest.mark.full

ASKEW = [reading("base.left.1", -1000, 480), reading("base.right.1", -1050, -280)]


@pytest.fixture
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


def opened(phone: SeededPhone, *facts, until="choose.advice"):
    phone.open_job([DESCRIPTION, *WINDOWS, *facts])
    phone.work_until(until)
    return phone.driver


def test_the_advice_opens_the_lengths_and_their_verdict_stands_in_both_places(phone):
    driver = opened(phone, *ASKEW)
    phone.show("sheet/plan")
    expect(driver.key("advice-skewed-axle")).to_be_visible()
    driver.tap("measure-skewed-axle")
    expect(driver.key("askew-lengths")).to_contain_text("both wheelbases or both diagonals")
    for slot, text in (("wheelbase-left", "2595"), ("wheelbase-right", "2605.5"), ("rear-track", "1500")):
        driver.number(f"base.{slot}", text)
    driver.aim("base.wheelbase-left")
    expect(driver.key("askew-axle-askew")).to_contain_text("The axle itself sits askew")
    # 10.5 mm of 1500 are 0.40 degrees, two tapes of 2 mm 0.22 within two SDs; the thrust read is 0.38
    expect(driver.key("askew-numbers")).to_contain_text("the axle heads 0.40° to the right, within 0.22°")
    expect(driver.key("askew-numbers")).to_contain_text("Thrust read: 0.38° to the right")
    assert phone.fields("base.rear-track") == [{"text": "1500", "number": 1500, "unit": "mm"}]
    phone.show("sheet/plan")
    expect(driver.key("measured-skewed-axle")).to_contain_text("The axle itself sits askew")
    driver.tap("measure-skewed-axle")
    driver.number("base.wheelbase-right", "2595")
    driver.aim("base.wheelbase-left")
    expect(driver.key("askew-wheels-askew")).to_contain_text("the wheels on it do not")
    for side, text in (("left", "3001"), ("right", "2985")):
        driver.number(f"base.diagonal-{side}", text)
    driver.aim("base.wheelbase-left")
    expect(driver.key("askew-aside")).to_contain_text("16 mm to the right")


def test_swapped_wheels_have_a_place_and_it_is_said_what_follows(phone):
    one_off = [reading("base.left.1", -2400, 700), reading("base.right.1", -1000, 100)]
    driver = opened(phone, *one_off)
    phone.show("sheet/plan")
    driver.tap("measure-one-wheel-off")
    row = driver.row("base.swapped")
    expect(row).to_contain_text("tighten as for any wheel change")
    for cell, text, way in (("left.camber", "1.02", "top-in"), ("right.camber", "2.38", "top-in"),
                            ("left.toe", "0.70", "in"), ("right.toe", "0.09", "in")):  # fmt: skip
        driver.angle(f"swapped.{cell}", text, way)
    expect(driver.key("swap-camber-wheels")).to_contain_text("went with the wheels")
    expect(driver.key("swap-toe-hub")).to_contain_text("stayed where it was")
    taken = {each["slot"]: each["body"] for each in phone.bodies("reading-taken")}
    assert taken["swapped.right"]["camber"]["mdeg"] == -2380


def test_the_question_about_the_complaint_stands_beside_what_it_is_about(phone):
    told = [["vehicle.complaint", "field-set", {"value": "Pulls to the left"}],
            ["vehicle.wear-rear-left", "field-set", {"value": "inner"}]]  # fmt: skip
    driver = opened(phone, *ASKEW, *told, until="base.complaint-agrees")
    phone.show("sheet/readings")
    beside = driver.row("base.evidence").bounding_box()
    question = driver.row("base.complaint-agrees").bounding_box()
    assert 0 <= question["y"] - beside["y"] - beside["height"] < 40
    said = driver.row("base.evidence").inner_text()
    for words in (
        "Pulls to the left",
        "Inner edge",
        "camber 1.00° top in (inside)",
        "toe 0.48° toe\u2011in",
        "thrust angle 0.38° to the right",
    ):
        assert words in said
