"""Every screen of the phone: axe clean, contrast 7:1, targets of 56 px, no sideways scrolling, focus always seen.

The screens run on the product's own server; jobs are seeded through the product's own store.
"""

import pytest
from app_driver import PHONE_SIZE, AppDriver
from playwright.sync_api import expect
from screen_checks import assert_clean, go, open_ready, seed_job

# until: the job is done up to this step; then the slots whose screens are looked at
SCREENS = {
    "vehicle.registration": [
        "vehicle.registration",
        "vehicle.vin",
        "vehicle.odometer",
        "vehicle.mounting",
        "finish.stop",
    ],
    "base.readings": ["vehicle.can-rings-go-in", "vehicle.pair-fitted", "base.readings", "base.windows"],
    "base.windows": ["base.readings", "base.windows"],
    "round.1.plan": ["base.windows", "round.1.plan"],
    "consent": ["round.1.plan", "consent", "choose.single-use", "fit.left.hub-supported"],
    "fit.chocked": ["prepare.left.last-look", "fit.torque", "fit.chocked", "fit.left.witness-line"],
    "finish.sign": ["check.readings", "check.result", "finish.front-readings", "finish.photo", "finish.sign"],
}
_SLOTS = """() => [...document.querySelectorAll('[data-key^="step-"]')].map((node) => node.dataset.key.slice(5))"""
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


@pytest.mark.parametrize("until", SCREENS)
def test_steps_are_clean(app, until):
    job = seed_job(app, until)
    go(app, f"#/job/{job}/steps")
    assert_clean(app, "steps")
    assert set(SCREENS[until]) <= set(app.page.evaluate(_SLOTS)), "a screen of the list above is not in the checklist"
    for slot in SCREENS[until]:
        go(app, f"#/job/{job}/step/{slot}")
        if app.shows("side-yes"):
            assert_clean(app, "the question at a change of side")
            app.same_side()
        assert_clean(app, slot)


@pytest.mark.parametrize("address", ["#/", "#/settings", "#/pair"])
def test_screens_outside_a_job_are_clean(app, address):
    go(app, address)
    assert_clean(app, address)


def unit_names(app) -> list[str]:
    """Return the units that are offered, a length with the keys of its own and the diameter among them."""
    offered = app.key("unit").locator("option").evaluate_all("options => options.map(({ value }) => value)")
    return [unit for unit in ("deg-min", "inch") if unit in offered]


@pytest.mark.parametrize("slot", ["base.readings", "base.windows"])
def test_an_angle_is_asked_for_on_a_clean_screen(app, slot):
    job = seed_job(app, slot)
    go(app, f"#/job/{job}/step/{slot}")
    if slot == "base.windows":
        app.window_source("Data sheet 12")
        app.tap("type-toe")
    else:
        app.tap("read")
    expect(app.key("angle-ask")).to_be_visible()
    for unit in unit_names(app):
        app.key("unit").select_option(unit)
        assert_clean(app, f"{slot}, asking in {unit}")
    app.tap("leave")


def test_the_first_question_is_clean(browser, url):
    context = browser.new_context(viewport=PHONE_SIZE)
    page = context.new_page()
    page.goto(url)
    expect(page.get_by_role("heading", name="Who works with this phone?")).to_be_visible(timeout=30_000)
    assert_clean(AppDriver(page), "name")
    context.close()


def test_focus_is_never_hidden(app):
    """WCAG 2.4.11: what has the focus lies within the view and under nothing, on a very small screen."""
    job = seed_job(app, "fit.chocked")
    go(app, f"#/job/{job}/step/fit.chocked")
    app.page.set_viewport_size({"width": 320, "height": 480})
    expect(app.key("stop")).to_be_enabled()
    seen = set()
    for _ in range(16):
        app.page.keyboard.press("Tab")
        key, visible = app.page.evaluate(_FOCUSED)
        assert visible, f"{key} has the focus and cannot be seen"
        seen.add(key)
    app.page.set_viewport_size(PHONE_SIZE)
    assert {"confirm", "override", "steps", "undo", "stop"} <= seen


def test_text_of_twice_the_size_still_fits(app):
    job = seed_job(app, "base.readings")
    for address in (
        "#/",
        f"#/job/{job}/steps",
        f"#/job/{job}/step/base.readings",
        f"#/job/{job}/step/vehicle.mounting",
    ):
        go(app, address)
        app.page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")
        wide = app.page.evaluate(
            "() => document.getElementById('main').scrollWidth - document.getElementById('main').clientWidth"
        )
        app.page.evaluate("() => { document.documentElement.style.fontSize = '' }")
        assert wide <= 0, f"{address} scrolls sideways by {wide} px at 200 % text"
