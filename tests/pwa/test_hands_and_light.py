"""A whole job with gloves, in the sun, with large text, or with no touch at all.

test_screens.py and test_sheet_looks.py look closely at chosen sheets; here every sheet of a whole job is looked at once
it is answered, and the job is done by keyboard alone.
"""

import re
from pathlib import Path

import pytest
from app_driver import PHONE_SIZE, open_app
from keyboard_phone import KeyboardPhone
from PIL import Image
from playwright.sync_api import expect
from screen_checks import assert_clean
from seeded_phone import SeededPhone
from sheet_driver import SheetDriver
from sheet_walk import SHEETS, SheetWalk

UI = Path(__file__).resolve().parents[2] / "pwa" / "js" / "ui"
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


@pytest.mark.full
def test_every_sheet_of_a_whole_job_with_large_text_and_without_motion(browser, origin):
    """Reflow at 320 px and at twice the text, no motion if none is wanted; report and signed job also in full."""
    phone = SeededPhone(browser, origin, locale="en-GB", reduced_motion="reduce")
    page = phone.page
    phone.open_job([])
    phone.work_until(None, pairs=2)
    for place in (*(f"sheet/{sheet}" for sheet in SHEETS), "report"):
        phone.show(place)
        assert page.evaluate(_MOVING) == 0, f"{place} moves"
        page.set_viewport_size({"width": 320, "height": 740})
        assert page.evaluate(_TOO_WIDE) == [], f"{place} at 320 px"
        page.set_viewport_size(PHONE_SIZE)
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        wide = page.evaluate(_TOO_WIDE)
        assert not wide, f"{place}: scrolls sideways with text of twice the size: {wide[:4]}"
        page.evaluate("document.documentElement.style.fontSize = ''")
    assert_clean(phone.driver, "report")
    assert_clean(phone.show("sheet/finish"), "a signed job")
    phone.close()


@pytest.mark.full
def test_a_whole_job_by_keyboard_alone(browser, url, photo):
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    page = context.new_page()
    page.goto(url)
    phone = KeyboardPhone(page)
    phone.name_technician()
    phone.wait_ready()
    job = phone.new_job()
    SheetWalk(phone, photo, job).run()
    expect(phone.key("sign")).to_contain_text("Signed by Iris Vance")
    context.close()


def test_what_was_done_is_announced(browser, url):
    """WCAG 2.2, 4.1.3: a line that screen readers hear says what was done last, and how much waits."""
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    open_app(context, url)
    driver = SheetDriver(context.pages[0])
    driver.new_job()
    driver.text("vehicle.registration", "QX 41 LTM")
    driver.leave_field()
    heard = driver.page.locator('[role="status"], [aria-live="polite"]')
    expect(heard.filter(has_text="Undo: QX 41 LTM back to open")).to_be_visible()
    driver.tap_on("back")
    expect(heard.filter(has_text=re.compile("sent")).first).to_be_visible()
    context.close()


def test_nothing_acts_before_the_finger_is_lifted_or_by_dragging_alone():
    """WCAG 2.2, 2.5.2 and 2.5.7. Two fingers zoom the tilt map; its buttons and the keys do the same.

    A hold is pressed until its edge has filled: lifting the finger earlier takes it back, and Enter does the same. A
    touch on a picture counts where the finger is lifted, slid or not; the arrows and Enter do the same.
    """
    early = re.compile(r"""["'](pointerdown|mousedown|pointermove|mousemove|drag\w*|touch(start|move))["']|draggable""")
    found = {file.name for file in UI.rglob("*.js") if early.search(file.read_text("utf-8"))}
    # the touch guard only notes when a finger went down
    assert found == {"tilt-map.js", "hold-press.js", "picture-touches.js", "touch-guard.js"}
    picture = (UI / "fields" / "picture-touches.js").read_text("utf-8")
    assert re.findall(r"#(\w+)\([^)]*\) \{(?:(?!\n  \}).)*this\.#set\(\)", picture, re.S) == ["up", "key"]
    touches = re.findall(
        r'"touch(?:start|move)", \(event\) => this\.(\S+)\(', (UI / "drawings" / "tilt-map.js").read_text("utf-8")
    )
    assert touches == ["#pinchFrom", "#pinchTo"]
