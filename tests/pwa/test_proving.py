"""Proving on the phone: faces the wrong way are recognised, refitted and closed; a second pass; the report goes out."""

import math
import re

import pytest
from fitted_phone import (
    BASE,
    DROOP_DEG,
    REMEMBERED,
    START,
    check,
    first_cause,
    is_near,
    plan_of,
    read_with,
    rings_of,
    say_what_is_true,
    see_what_it_gives,
    way_on,
)  # fmt: skip
from playwright.sync_api import expect
from seeded_phone import SeededPhone

from calc.rings.tilt import turned, turned_over


def test_faces_the_wrong_way_are_recognised_refitted_and_closed(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    plan = plan_of(phone, 1)["plan"]
    right = read_with(BASE["right"], rings_of(plan["right"]))
    left = read_with(BASE["left"], [turned_over(ring) for ring in rings_of(plan["left"])])
    check(phone, "check.readings", left, right)

    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-faces-reversed")
    expect(first_cause(phone, "right")).to_have_attribute("data-key", "cause-as-planned")
    expect(driver.key("as-planned-right")).to_be_visible()
    expect(first_cause(phone, "right")).to_be_hidden()
    driver.key("all-said-right").locator("summary").first.click()
    expect(first_cause(phone, "right")).to_be_visible()
    say_what_is_true(driver, "left", "faces-reversed")
    outcome = driver.key("next-round-outcome")
    expect(outcome.locator('[data-key="cut-rings"]')).to_contain_text("turned over from how it sits now")
    expect(outcome.locator(".wheel.right")).to_contain_text("Stays closed")
    driver.tap_on("start-round")

    second = plan_of(phone, 2)
    refitted = second["plan"]
    assert (second["open"], refitted["left"]["pair"], refitted["right"]) == (["left"], plan["left"]["pair"], None)
    assert is_near(refitted["predicted"]["left"], plan["predicted"]["left"])
    assert driver.slot.startswith("round.2.")
    phone.work_until("round.2.check.readings")
    assert not [each for each in phone.bodies("step-done") if each["slot"].startswith("round.2.fit.right")]

    check(phone, "round.2.check.readings", read_with(BASE["left"], rings_of(plan["left"])), right)
    expect(driver.key("proof")).to_contain_text("Everything is inside")
    expect(way_on(driver)).to_have_text("Next")
    expect(driver.key("finish-outside")).to_have_count(0)
    driver.key("round-1").locator("summary").click()
    expect(driver.key("round-1")).to_contain_text("outside by")
    phone.work_until("finish.sign")
    phone.show("step/finish.sign")
    inner, outer = refitted["left"]["pair"]
    expect(driver.key("sign-summary")).to_contain_text(
        re.compile(rf"inner {inner} meets outer {outer}.*Reads now: camber")
    )
    expect(driver.key("sign-summary")).to_contain_text("Everything is inside")
    driver.tap("confirm")
    driver.tap_on("report")
    expect(driver.key("report")).to_contain_text("in 2 rounds")
    captions = phone.page.locator(".report-photos figcaption").all_inner_texts()
    assert any("round 1" in each for each in captions), captions
    assert not [each for each in captions if "witness-line" in each], captions  # a name for people, not a slot


def test_a_top_taken_hanging_is_recognised_by_the_level_and_planned_from_again(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    plan = plan_of(phone, 1)["plan"]
    read = read_with(BASE["left"], turned(rings_of(plan["left"]), math.radians(-DROOP_DEG)))
    check(phone, "check.readings", read, read_with(BASE["right"], rings_of(plan["right"])))
    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-top-taken-hanging")
    expect(first_cause(phone, "left")).to_contain_text(f"{DROOP_DEG}° towards the front")
    say_what_is_true(driver, "left", "top-taken-hanging")
    driver.tap("kind-second")
    see_what_it_gives(driver)
    driver.tap_on("start-round")

    second = plan_of(phone, 2)
    start = second["input"]["wheels"]["left"]
    assert is_near((start["camber"], start["toe"]), BASE["left"])
    assert (second["plan"]["toe_outside"], second["plan"]["camber_outside"]) == (0, 0)
    phone.work_until("round.2.check.readings")
    right = second["plan"]["predicted"]["right"]
    check(phone, "round.2.check.readings", read_with(BASE["left"], rings_of(second["plan"]["left"])), tuple(right))
    expect(driver.key("proof")).to_contain_text("Everything is inside")
    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-as-planned")


SHARING = """
    globalThis.shared = [];
    Object.defineProperty(navigator, "canShare", { value: ({ files }) => files.length === 1 });
    Object.defineProperty(navigator, "share", { value: async ({ files, title }) => {
        globalThis.shared.push({ title, name: files[0].name, type: files[0].type, text: await files[0].text() });
    } });
"""


@pytest.fixture
def finished(browser, origin):
    """A phone whose job is signed, with photos; the report is on the screen and the network is gone."""
    phone = SeededPhone(browser, origin)
    phone.context.add_init_script(SHARING)
    phone.open_job(START)
    phone.work_until("check.readings")
    phone.show("step/check.readings")
    phone.cut_network()
    plan = plan_of(phone, 1)["plan"]
    check(phone, "check.readings", *(read_with(BASE[side], rings_of(plan[side])) for side in ("left", "right")))
    phone.work_until("finish.sign", {"finish.front": "not-done"})
    phone.show("step/finish.sign")
    phone.driver.tap("confirm")
    phone.driver.tap_on("report")
    yield phone
    phone.close()


def test_the_report_is_shared_as_one_file_that_needs_nothing_else(finished):
    driver = finished.driver
    driver.tap("share")
    finished.page.wait_for_function("() => globalThis.shared.length === 1")
    shared = finished.page.evaluate("() => globalThis.shared[0]")
    assert shared["type"] == "text/html"
    assert re.fullmatch(r"rear-axle-report-qx-41-ltm-\d{4}-\d\d-\d\d\.html", shared["name"])
    page = finished.context.browser.new_page()
    page.set_content(shared["text"])
    assert not re.findall(r'(?:src|href)="(?!data:)', shared["text"]), "it asks the network for nothing"
    expect(page.locator(".report")).to_contain_text("does not say that the vehicle is roadworthy")
    expect(page.locator(".report")).to_contain_text("50 to 100 km")
    expect(page.locator(".report-photos img").first).to_be_visible()
    assert page.locator(".report-photos img").first.evaluate("image => image.naturalWidth") == 64
    assert page.locator(".report").evaluate("node => getComputedStyle(node).backgroundColor") == "rgb(255, 255, 255)"
    page.close()


def test_the_report_says_what_was_fitted_measured_with_and_not_done(finished):
    driver = finished.driver
    for text in REMEMBERED.values():
        expect(driver.key("report")).to_contain_text(text)
    expect(driver.key("report-not-done")).to_contain_text("The front axle was not set to the new rear")
    expect(driver.key("report-label")).to_contain_text("Never add a second pair")
    expect(driver.key("report-parts")).to_have_text("Replaced: hub bolts")
    assert driver.page.locator(".report-maps svg.tilt-map").count() == 2


def test_the_report_prints_on_one_page(finished):
    paper = finished.page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", paper)) == 1


def test_the_report_is_saved_as_a_file(finished):
    with finished.page.expect_download() as download:
        finished.driver.tap("save-file")
    assert download.value.suggested_filename.endswith(".html")


def test_equipment_and_wrench_are_asked_once_per_phone(browser, origin):
    phone = SeededPhone(browser, origin)
    phone.open_job([["vehicle.registration", "field-set", {"value": "ONE"}]])
    phone.work_until("base.readings")
    driver = phone.show("step/base.equipment")
    driver.text(REMEMBERED["base.equipment"])
    phone.open_job([["vehicle.registration", "field-set", {"value": "TWO"}]])
    phone.work_until("base.readings")
    driver = phone.show("step/base.equipment")
    assert driver.key("text").input_value() == REMEMBERED["base.equipment"]
    driver.tap_on("keep")
    assert [each["body"]["value"] for each in phone.bodies("field-set") if each["slot"] == "base.equipment"] == [
        REMEMBERED["base.equipment"]
    ]
    phone.close()
