"""Every screen of the phone: axe clean, contrast 7:1, targets of 56 px, no sideways scrolling, focus always seen.

The screens run on the product's own server; jobs are seeded through the product's own store.
"""

import pytest
from app_driver import PHONE_SIZE, AppDriver
from playwright.sync_api import expect
from screen_checks import assert_clean, go, open_ready
from seeded_phone import SeededPhone

# until: the job is done up to this row; then the sheets that are looked at
SHEETS = {
    "vehicle.registration": ["vehicle", "condition"],
    "base.complaint-agrees": ["readings", "possible"],
    "choose.advice": ["plan"],
    "prepare.left.right-set": ["plan", "bench.left", "lift"],
    "fit.left.hub-free": ["wheel.left"],
    "fit.left.bolt-length": ["wheel.left"],
    "fit.right.tightened": ["wheel.right"],
    "fit.chocks-away": ["down"],
    "finish.front": ["check"],
    "finish.sign": ["finish"],
}
_FOCUSED = """() => {
  const node = document.activeElement;
  const { left, top, width, height } = node.getBoundingClientRect();
  const at = document.elementFromPoint(left + width / 2, top + height / 2);
  const isSeen = node === document.body || (at !== null && (node.contains(at) || at.contains(node)));
  return [node.dataset.key ?? node.tagName, isSeen];
}"""
_TOO_WIDE = "() => document.getElementById('main').scrollWidth - document.getElementById('main').clientWidth"


@pytest.fixture(scope="module")
def app(browser, url):
    """One phone for the module: opened once, with ring tables, in English."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    errors = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    yield open_ready(context, url)
    context.close()
    assert not errors


@pytest.fixture(scope="module")
def seeded(browser, origin):
    """A phone whose store is equipped and whose jobs are worked by the test."""
    phone = SeededPhone(browser, origin, locale="en-GB")
    yield phone
    phone.close()


@pytest.mark.parametrize("until", SHEETS)
def test_sheets_are_clean(seeded, until):
    seeded.open_job([])
    assert seeded.work_until(until, pairs=2) == until
    for sheet in SHEETS[until]:
        driver = seeded.show(f"sheet/{sheet}")
        assert_clean(driver, sheet)


def test_the_list_of_sheets_and_the_stop_screen_are_clean(seeded):
    seeded.open_job([])
    seeded.work_until("base.readings")
    driver = seeded.show("sheet/readings")
    driver.tap("menu")
    driver.wait_for("close-list")
    assert_clean(driver, "the list of sheets")
    assert_clean(seeded.show("stop"), "stop")


def test_a_number_is_typed_on_a_clean_screen(seeded):
    seeded.open_job([])
    seeded.work_until("base.readings")
    driver = seeded.show("sheet/readings")
    driver.aim("base.left.toe.1")
    driver.wait_for("keypad")
    assert_clean(driver, "the keypad")
    driver.type_keys("0.42")
    assert_clean(driver, "a number half typed")


@pytest.mark.parametrize("address", ["#/", "#/settings", "#/pair"])
def test_screens_outside_a_job_are_clean(app, address):
    go(app, address)
    assert_clean(app, address)


def test_the_first_question_is_clean(browser, url):
    context = browser.new_context(viewport=PHONE_SIZE)
    page = context.new_page()
    page.goto(url)
    expect(page.get_by_role("heading", name="Who works with this phone?")).to_be_visible(timeout=30_000)
    assert_clean(AppDriver(page), "name")
    context.close()


def test_focus_is_never_hidden(seeded):
    """WCAG 2.4.11: what has the focus lies within the view and under nothing, on a very small screen."""
    seeded.open_job([])
    seeded.work_until("fit.chocked")
    driver = seeded.show("sheet/lift")
    seeded.page.set_viewport_size({"width": 320, "height": 480})
    seen = set()
    for _ in range(40):
        seeded.page.keyboard.press("Tab")
        key, visible = seeded.page.evaluate(_FOCUSED)
        assert visible, f"{key} has the focus and cannot be seen"
        seen.add(key)
    seeded.page.set_viewport_size(PHONE_SIZE)
    assert {"next", "hold-fit.chocked", "not-so-fit.chocked"} <= seen
    assert driver.state("fit.chocked") == "open"


@pytest.mark.full
@pytest.mark.parametrize(("until", "sheet"), [
    ("base.complaint-agrees", "readings"), ("fit.left.hub-free", "wheel.left"), ("fit.chocked", "lift"),
    ("finish.front", "check"),
])  # fmt: skip
def test_text_of_twice_the_size_still_fits(seeded, until, sheet):
    seeded.open_job([])
    seeded.work_until(until, pairs=2)
    seeded.show(f"sheet/{sheet}")
    seeded.page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")
    wide = seeded.page.evaluate(_TOO_WIDE)
    seeded.page.evaluate("() => { document.documentElement.style.fontSize = '' }")
    assert wide <= 0, f"{sheet} scrolls sideways by {wide} px at 200 % text"


def test_what_the_list_of_jobs_says_anew_costs_no_tap_of_a_finger_that_is_down(seeded):
    """Cause: the buttons beneath what waits were made anew with each change, and a tap that had begun was lost."""
    seeded.open_job([])
    driver = seeded.show("sheet/vehicle")
    go(driver, "#/")
    send = driver.key("send-now").element_handle(timeout=30_000)
    said = driver.key("unsent").inner_text()
    seeded.save_elsewhere(None, "note-written", {"text": "x"})
    expect(driver.key("unsent")).not_to_have_text(said)
    assert send.evaluate("(button) => button.isConnected")
