"""What stands over the work leaves it in sight: the banner is low, what took no tap says so beside it."""

import json

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from sheet_driver import CAME_MS

from tests.live_server import ROOT

FREE, READ, LENGTH, STARTED, TIGHTENED, CARRIED = (
    f"fit.left.{row}" for row in ("hub-free", "read-back", "bolt-length", "bolts-by-hand", "tightened", "hub-supported")
)
MOST_PX = {"en": 96, "es": 96}
_BETWEEN_TOUCHES_MS = 1600


def banner(p) -> dict:
    return p.page.locator(".wheel-banner").bounding_box()


_LINE_OPEN = [["fit.left.line", "field-set", {"value": "opened"}]]
_CUT_OFF = """() => [...document.querySelectorAll('.wheel-banner, .wheel-banner *')]
  .filter((node) => node.scrollWidth > node.clientWidth + 1 && node.clientWidth > 0).map((node) => node.className)"""


@pytest.mark.parametrize("until", [FREE, READ, pytest.param(TIGHTENED, marks=pytest.mark.full)])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_banner_is_low_and_says_every_caution_in_force_in_full(sheets, until, language):
    p = sheets(until, "wheel.left", facts=_LINE_OPEN, language=language)
    expect(p.page.locator(".banner-side")).to_contain_text({"en": "LEFT", "es": "IZQUIERDA"}[language])
    texts = json.loads((ROOT / "pwa" / "text" / language / "sheets.json").read_text("utf-8"))
    said = [texts[f"row.fit.{row}.in-force"] for row in ("line-capped", "hub-supported")]
    expect(p.driver.key("in-force").locator("li")).to_have_text(said)
    assert banner(p)["height"] <= MOST_PX[language]
    assert p.page.evaluate(_CUT_OFF) == []


@pytest.mark.full
def test_the_side_stays_over_the_keypad(sheets):
    p = sheets(READ, "wheel.left")
    p.driver.aim(f"{READ}.inner")
    p.driver.type_keys("7")
    expect(p.page.locator(".banner-side")).to_be_in_viewport(ratio=1)
    cell, over = p.driver.cell(f"{READ}.inner").bounding_box(), banner(p)
    assert cell["y"] >= over["y"] + over["height"]


@pytest.mark.full
def test_the_stage_of_a_bolt_is_in_sight_and_a_touch_too_soon_is_answered_in_the_target(sheets):
    p = sheets(TIGHTENED, "wheel.left")
    p.driver.number(f"{TIGHTENED}.count", "5")
    p.driver.tap("key-next")
    p.driver.next()
    for _ in range(2):  # the first brings the target into sight, and what moved takes no tap yet
        p.page.wait_for_timeout(_BETWEEN_TOUCHES_MS)
        p.driver.tap("bolt-target")
    stage, over = p.driver.key("bolt-stage").bounding_box(), banner(p)
    assert stage["y"] >= over["y"] + over["height"]
    p.driver.tap("bolt-target")
    seen = p.driver.key("bolt-seen")
    expect(seen).to_contain_text("Too soon")
    expect(seen).to_be_in_viewport(ratio=1)
    inside, target = seen.bounding_box(), p.driver.key("bolt-target").bounding_box()
    assert target["y"] < inside["y"]
    assert inside["y"] + inside["height"] < target["y"] + target["height"]
    expect(seen).to_be_hidden(timeout=3000)


def test_a_hold_pressed_too_shortly_says_that_it_has_to_be_held(sheets):
    p = sheets(CARRIED, "wheel.left")
    said = p.driver.key(f"hold-said-{CARRIED}")
    p.driver.press(CARRIED, 0)
    expect(said).to_contain_text("keep pressing until the edge is full")
    expect(said).to_have_attribute("role", "status")
    assert p.driver.state(CARRIED) == "open"
    p.driver.hold(CARRIED)
    expect(said).to_be_empty()


def test_a_hold_at_the_bolt_length_asks_for_the_bolts_first(sheets):
    p = sheets(LENGTH, "wheel.left")
    expect(p.driver.key("bolts-known").locator("p").first).to_be_visible()
    said = p.driver.key(f"hold-said-{LENGTH}")
    for _ in range(3):  # what the touch guard takes none of is pressed again
        p.driver.press(LENGTH, 800)
        if said.inner_text():
            break
    expect(said).to_contain_text("Choose the bolts first")
    p.driver.tap(f"bolts-new-{LENGTH}")
    expect(p.driver.key(f"hold-said-{LENGTH}")).to_be_empty()


def test_what_took_no_tap_says_so_on_one_line_and_over_no_key(sheets):
    p = sheets("base.readings", "readings")
    menu = p.driver.key("menu")
    expect(menu).to_be_visible()
    p.page.wait_for_timeout(CAME_MS)
    box = menu.bounding_box()
    menu.evaluate("key => { key.style.translate = '0 -10px'; }")  # it has moved under the finger
    p.page.mouse.click(box["x"] + box["width"] - 6, box["y"] + 20)
    said = p.page.locator(".took-none-said")
    expect(said).to_contain_text("Too soon")
    where, bar = said.bounding_box(), p.page.locator("#bar").bounding_box()
    assert where["height"] < 50
    assert where["x"] + where["width"] <= PHONE_SIZE["width"]
    assert where["y"] + where["height"] <= bar["y"]


# Scrolls by hand what has come meanwhile under the finger; gives its key.
_BRING_UNDER = """([row, y]) => {
  const tick = document.querySelector(`[data-key="tick-${row}"]`);
  const { top, height } = tick.getBoundingClientRect();
  document.getElementById("main").scrollTop += top + height / 2 - y;
}"""
_UNDER = "([x, y]) => document.elementFromPoint(x, y)?.closest('button')?.dataset.key ?? null"


def test_a_finger_lifted_late_from_a_hold_answers_nothing_that_came_under_it(sheets):
    """The bolt length closes its part of the sheet, and the first row of the next comes under the finger."""
    p = sheets(LENGTH, "wheel.left")
    p.driver.tap(f"bolts-new-{LENGTH}")
    p.driver.number(f"{LENGTH}.length_mm", "50")
    p.driver.number(f"{LENGTH}.measured_mm", "18")
    p.driver.tap("key-next")
    p.driver.tap(f"class-{LENGTH}-10.9")
    grip = p.driver.key(f"hold-{LENGTH}")
    grip.scroll_into_view_if_needed()
    p.page.wait_for_timeout(CAME_MS)
    box = grip.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    finger = p.page.context.new_cdp_session(p.page)
    finger.send("Emulation.setTouchEmulationEnabled", {"enabled": True})
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    expect(p.driver.key(f"tick-{STARTED}")).to_be_visible()
    p.page.evaluate(_BRING_UNDER, [STARTED, y])
    p.page.wait_for_timeout(CAME_MS)  # what stands still so long takes a tap
    assert p.page.evaluate(_UNDER, [x, y]) == f"tick-{STARTED}"
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    expect(p.page.locator(".took-none-said")).to_contain_text("Too soon")
    assert p.driver.state(STARTED) == "open"
    p.driver.tap(f"tick-{STARTED}")
    p.driver.wait_state(STARTED)
