"""A whole job with gloves, in the sun, with large text, or with no touch at all.

test_screens.py looks closely at chosen screens; here every kind of screen of a whole job is looked at, and the job is
done by keyboard alone.
"""

import re
from pathlib import Path

import pytest
from app_driver import PHONE_SIZE, open_app
from job_walk import JobWalk
from keyboard_phone import KeyboardPhone
from PIL import Image
from playwright.sync_api import expect
from screen_checks import assert_clean

UI = Path(__file__).resolve().parents[2] / "pwa" / "js" / "ui"
# What a screen is built of, apart from its words: two screens of one kind hold or break the same rules.
_KIND = """() => [...new Set([...document.querySelectorAll('main *, #bar *')]
  .map((node) => [node.localName, node.getAttribute('class'), node.getAttribute('aria-pressed')].join('.')))]
  .sort().join(' ')"""
_TOO_WIDE = """() => ['main', 'bar', 'top'].map((id) => document.getElementById(id))
  .filter((part) => part.scrollWidth > part.clientWidth)
  .flatMap((part) => [...part.querySelectorAll('*')]
    .filter((each) => each.getBoundingClientRect().right > part.clientWidth))
  .map((node) => node.outerHTML.slice(0, 100))"""
_MOVING = """() => document.getAnimations().length + [...document.querySelectorAll('*')].filter((node) => {
  const { transitionDuration, animationName, scrollBehavior } = getComputedStyle(node);
  return parseFloat(transitionDuration) > 0 || animationName !== 'none' || scrollBehavior === 'smooth';
}).length"""


@pytest.fixture
def photo(tmp_path):
    path = tmp_path / "photo.jpg"
    Image.radial_gradient("L").resize((1200, 1600)).save(path)
    return path


def test_every_kind_of_screen_of_a_whole_job(browser, url, photo):
    """Axe, 7:1 in three themes, targets, gaps, reflow at 320 px and at twice the text, no motion if none is wanted."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB", reduced_motion="reduce")
    driver = open_app(context, url)
    driver.wait_ready()
    page, kinds = driver.page, set()

    def look(name: str) -> None:
        kind = page.evaluate(_KIND)
        if kind in kinds:
            return
        kinds.add(kind)
        assert_clean(driver, name)
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        wide = page.evaluate(_TOO_WIDE)
        assert not wide, f"{name}: scrolls sideways with text of twice the size: {wide[:4]}"
        page.evaluate("document.documentElement.style.fontSize = ''")
        assert page.evaluate(_MOVING) == 0, f"{name} moves"

    job = driver.new_job()
    JobWalk(driver, photo, look).until()
    assert len(kinds) > 15
    for place in ("steps", "sheet", "step/check.result", "step/round.1.plan"):
        page.evaluate("hash => { location.hash = hash }", f"#/job/{job}/{place}")
        driver.settle()
        look(place)
    context.close()


def test_a_whole_job_by_keyboard_alone(browser, url, photo):
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    page = context.new_page()
    page.goto(url)
    phone = KeyboardPhone(page)
    phone.name_technician()
    phone.wait_ready()
    phone.new_job()
    walk = JobWalk(phone, photo)
    walk.until()
    assert {"base.readings", "round.1.plan", "fit.left.hub-supported", "fit.torque", "finish.sign"} <= set(walk.walked)
    context.close()


def test_what_was_done_is_announced(browser, url):
    """WCAG 2.2, 4.1.3: a line that screen readers hear says what was kept, and how much waits."""
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    driver = open_app(context, url)
    driver.new_job()
    driver.text("QX 41 LTM")
    expect(driver.page.locator('[role="status"]', has_text="Kept: Registration number")).to_be_visible()
    driver.tap_on("back")
    expect(driver.page.locator('[role="status"]', has_text=re.compile("sent"))).to_be_visible()
    context.close()


def test_nothing_acts_before_the_finger_is_lifted_or_by_dragging_alone():
    """WCAG 2.2, 2.5.2 and 2.5.7. Two fingers zoom the tilt map; its buttons and the keys do the same."""
    early = re.compile(r"""["'](pointerdown|mousedown|pointermove|mousemove|drag\w*|touch(start|move))["']|draggable""")
    found = {file.name for file in UI.rglob("*.js") if early.search(file.read_text("utf-8"))}
    assert found == {"tilt-map.js"}
    touches = re.findall(
        r'"touch(?:start|move)", \(event\) => this\.(\S+)\(', (UI / "drawings" / "tilt-map.js").read_text("utf-8")
    )
    assert touches == ["#pinchFrom", "#pinchTo"]
