"""Proving on the phone: faces the wrong way are recognised, refitted and closed; a second pass; the report goes out."""

import math
import re

import pytest
from fitted_phone import (
    BASE,
    DROOP_DEG,
    REMEMBERED,
    START,
    begin_round,
    check,
    first_cause,
    is_near,
    plan_of,
    read_with,
    rings_of,
    say_what_is_true,
    see_what_it_gives,
)  # fmt: skip
from playwright.sync_api import expect
from screen_checks import PHONE
from seeded_phone import SeededPhone

from calc.rings.tilt import turned, turned_over


@pytest.mark.full
def test_faces_the_wrong_way_are_recognised_refitted_and_closed(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    plan = plan_of(phone, 1)["plan"]
    right = read_with(BASE["right"], rings_of(plan["right"]))
    left = read_with(BASE["left"], [turned_over(ring) for ring in rings_of(plan["left"])])
    check(phone, 1, left, right)

    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-faces-reversed")
    expect(first_cause(phone, "right")).to_have_attribute("data-key", "cause-as-planned")
    expect(driver.key("as-planned-right")).to_be_visible()
    expect(first_cause(phone, "right")).to_be_hidden()
    driver.tap_node(driver.key("all-said-right").locator("summary").first)
    expect(first_cause(phone, "right")).to_be_visible()
    say_what_is_true(driver, "left", "faces-reversed")
    outcome = driver.key("next-round-outcome")
    expect(outcome.locator('[data-key="cut-rings"]')).to_contain_text("turned over from how it sits now")
    expect(outcome.locator('[data-key="pair-right"]')).to_contain_text("Stays closed")
    begin_round(driver)

    second = plan_of(phone, 2)
    refitted = second["plan"]
    assert (second["open"], refitted["left"]["pair"], refitted["right"]) == (["left"], plan["left"]["pair"], None)
    assert is_near(refitted["predicted"]["left"], plan["predicted"]["left"])
    assert driver.sheet == "round.2.plan"
    phone.work_until("round.2.check.readings")
    assert not [each for each in phone.bodies("step-done") if each["slot"].startswith("round.2.fit.right")]

    check(phone, 2, read_with(BASE["left"], rings_of(plan["left"])), right)
    expect(driver.key("result")).to_contain_text("Everything is inside")
    assert driver.key("next-round").get_attribute("open") is None, "nobody is led into another round"
    driver.tap_node(driver.key("round-1").locator("summary").first)
    expect(driver.key("round-1")).to_contain_text("outside by")
    phone.work_until("finish.sign")
    phone.show("sheet/finish")
    inner, outer = refitted["left"]["pair"]
    expect(driver.key("sign-summary")).to_contain_text(
        re.compile(rf"inner {inner} meets outer {outer}.*Reads now: camber")
    )
    expect(driver.key("sign-summary")).to_contain_text("Everything is inside")
    driver.tap("sign-now")
    driver.tap_on("report")
    expect(driver.key("report")).to_contain_text("in 2 rounds")
    captions = phone.page.locator(".report-photos figcaption").all_inner_texts()
    assert any("round 1" in each for each in captions), captions
    assert not [each for each in captions if "witness-line" in each], captions  # a name for people, not a slot


@pytest.mark.full
def test_a_top_taken_hanging_is_recognised_by_the_level_and_planned_from_again(fitted_once):
    phone, driver = fitted_once, fitted_once.driver
    plan = plan_of(phone, 1)["plan"]
    read = read_with(BASE["left"], turned(rings_of(plan["left"]), math.radians(-DROOP_DEG)))
    check(phone, 1, read, read_with(BASE["right"], rings_of(plan["right"])))
    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-top-taken-hanging")
    expect(first_cause(phone, "left")).to_contain_text(f"{DROOP_DEG}° towards the front")
    say_what_is_true(driver, "left", "top-taken-hanging")
    driver.tap("kind-second")
    see_what_it_gives(driver)
    begin_round(driver)

    second = plan_of(phone, 2)
    start = second["input"]["wheels"]["left"]
    assert is_near((start["camber"], start["toe"]), BASE["left"])
    assert (second["plan"]["toe_outside"], second["plan"]["camber_outside"]) == (0, 0)
    phone.work_until("round.2.check.readings")
    right = second["plan"]["predicted"]["right"]
    check(phone, 2, read_with(BASE["left"], rings_of(second["plan"]["left"])), tuple(right))
    expect(driver.key("result")).to_contain_text("Everything is inside")
    expect(first_cause(phone, "left")).to_have_attribute("data-key", "cause-as-planned")


SHARING = """
    globalThis.shared = [];
    Object.defineProperty(navigator, "canShare", { value: ({ files }) => files.length === 1 });
    Object.defineProperty(navigator, "share", { value: async ({ files, title }) => {
        globalThis.shared.push({ title, name: files[0].name, type: files[0].type, text: await files[0].text() });
    } });
"""


@pytest.fixture(scope="module")
def finished(browser, origin):
    """A phone whose job is signed, with photos; the report is on the screen and the network is gone."""
    phone = SeededPhone(browser, origin)
    phone.context.add_init_script(SHARING)
    phone.open_job(START)
    phone.work_until("check.readings", pairs=2)
    driver = phone.show("sheet/check")
    phone.cut_network()
    plan = plan_of(phone, 1)["plan"]
    check(phone, 1, *(read_with(BASE[side], rings_of(plan[side])) for side in ("left", "right")))
    phone.work_until("finish.sign", {"finish.front": "not-done"})
    phone.show("sheet/finish")
    driver.tap("sign-now")
    driver.tap_on("report")
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
    expect(page.locator(".report")).to_contain_text("rechecked after 80 km")
    expect(page.locator(".report-photos img").first).to_be_visible()
    assert page.locator(".report-photos img").first.evaluate("image => image.naturalWidth") == 64
    assert page.locator(".report").evaluate("node => getComputedStyle(node).backgroundColor") == "rgb(255, 255, 255)"
    page.close()


# Takes a photo off the phone, or puts it back.
_TAKE_AWAY = """async () => {
  const database = await new Promise((resolve) => {
    const asked = indexedDB.open("tapermark");
    asked.onsuccess = () => resolve(asked.result);
  });
  const photos = database.transaction("photos", "readwrite").objectStore("photos");
  const done = (request) => new Promise((resolve) => { request.onsuccess = () => resolve(request.result); });
  if (window.takenAway) await done(photos.put(window.takenAway));
  else {
    [window.takenAway] = await done(photos.getAll());
    await done(photos.delete(window.takenAway.sha256));
  }
  database.close();
}"""


def test_a_photo_that_is_not_here_is_named_in_the_report(finished):
    page, report = finished.page, finished.page.locator(".report")
    page.evaluate(f"async () => {PHONE}.setSetting('shop', {{ name: 'Larkmoor Wheel Works', demo: false }})")
    captions = report.locator(".report-photos figcaption")
    before = captions.all_inner_texts()
    page.evaluate(_TAKE_AWAY)
    again(finished)
    expect(report.locator(".report-photo-away").first).to_contain_text("not on this phone")
    assert sorted(captions.all_inner_texts()) == sorted(before)
    expect(report.locator(".report-head")).to_contain_text("Larkmoor Wheel Works")
    page.evaluate(_TAKE_AWAY)
    again(finished)
    expect(report.locator(".report-photo-away")).to_have_count(0)


def again(phone):
    """Leave the report and open it anew."""
    phone.show("sheet/check")
    phone.show("report")
    expect(phone.page.locator(".report")).to_be_visible()


def test_the_report_says_what_was_fitted_measured_with_and_not_done(finished):
    driver = finished.driver
    for text in REMEMBERED.values():
        expect(driver.key("report")).to_contain_text(text)
    expect(driver.key("report-not-done")).to_contain_text("The front axle was not set to the new rear")
    expect(driver.key("report-label")).to_contain_text("Never add a second pair")
    expect(driver.key("report-parts")).to_have_text("Replaced: hub bolts")
    assert driver.page.locator(".report-maps svg.tilt-map").count() == 2


@pytest.mark.parametrize("paper", ["A4", pytest.param("Letter", marks=pytest.mark.full)])
def test_the_report_prints_on_one_page(finished, paper):
    printed = finished.page.pdf(format=paper, prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1


def test_the_report_is_saved_as_a_file(finished):
    with finished.page.expect_download() as download:
        finished.driver.tap("save-file")
    assert download.value.suggested_filename.endswith(".html")


@pytest.mark.full
def test_what_one_reads_with_is_offered_on_the_next_job_with_one_tap(browser, origin):
    phone = SeededPhone(browser, origin)
    slot, text = "base.equipment", REMEMBERED["base.equipment"]
    phone.open_job([["vehicle.registration", "field-set", {"value": "ONE"}]])
    phone.show("sheet/readings").tap("more-rows")
    phone.driver.text(slot, text)
    phone.driver.leave_field()
    phone.driver.wait_state(slot)
    phone.open_job([["vehicle.registration", "field-set", {"value": "TWO"}]])
    phone.show("sheet/readings").tap("more-rows")
    expect(phone.driver.key(f"last-{slot}")).to_contain_text(text)
    assert phone.fields(slot) == []
    phone.driver.tap(f"last-{slot}")
    phone.driver.wait_state(slot)
    assert phone.fields(slot) == [text]
    phone.close()
