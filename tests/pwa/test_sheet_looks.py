"""Sheets seen and touched: axe clean, 7:1, targets and gaps, nothing too wide at twice the text, the field in sight."""

import io

import pytest
from app_driver import PHONE_SIZE
from PIL import Image
from playwright.sync_api import expect
from screen_checks import assert_clean
from seeded_phone import DESCRIPTION, READ, WINDOWS
from sheet_driver import CAME_MS

pytestmark = pytest.mark.full

# What is next in the job, and the sheets that are looked at then.
SHEETS = {
    "vehicle.tyres": ["vehicle", "condition", "possible"],
    "fit.left.hub-supported": ["lift", "bench.left", "wheel.left", "down"],
}
_WIDE = """() => ['main', 'bar', 'top'].map((id) => document.getElementById(id))
  .filter((part) => part.scrollWidth > part.clientWidth).map((part) => part.id)"""
_IN_VIEW = """(selector) => {
  const { top, bottom } = document.querySelector(selector).getBoundingClientRect();
  const bar = document.getElementById('bar').getBoundingClientRect();
  return top >= 0 && bottom <= bar.top + 1;
}"""

# Whether one part of the result stands to the left of the other; either may just be drawn anew.
_BESIDE = """parts => {
  const [left, right] = parts.map((part) => document.querySelector(`.result-card ${part}`)?.getBoundingClientRect());
  return left?.width > 0 && right?.width > 0 && left.right <= right.left;
}"""

# The colours in which parts are filled.
_FILLS = """([pseudo, ...selectors]) => selectors.map(
  (selector) => getComputedStyle(document.querySelector(selector), pseudo).backgroundColor)"""


@pytest.mark.parametrize("until", SHEETS)
def test_sheets_are_clean(sheets, until):
    p = sheets(until, SHEETS[until][0])
    for key in SHEETS[until]:
        p.driver.open_sheet(p.job, key)
        assert_clean(p.driver, key)
        p.page.set_viewport_size(PHONE_SIZE)
        p.page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert p.page.evaluate(_WIDE) == [], f"{key} at twice the text"
        p.page.evaluate("document.documentElement.style.fontSize = ''")


def test_the_keypad_and_the_list_are_clean(sheets):
    p = sheets("base.readings", "readings")
    p.driver.aim("base.left.camber.1")
    assert_clean(p.driver, "keypad")
    p.page.set_viewport_size(PHONE_SIZE)
    p.driver.tap("base-compensation" if p.driver.shows("base-compensation") else "tick-base.compensation")
    p.page.wait_for_timeout(CAME_MS)
    p.driver.tap("menu")
    expect(p.driver.key("sheet-list")).to_be_visible()
    assert_clean(p.driver, "list of sheets")


@pytest.mark.parametrize("size", [PHONE_SIZE, {"width": 740, "height": 360}, {"width": 800, "height": 1280}])
def test_the_framed_field_stays_in_sight_over_the_keypad(sheets, size):
    p = sheets("base.readings", "readings", size=size)
    for name in ("base.left.camber.1", "base.right.toe.1"):
        p.driver.aim(name)
        p.driver.type_keys("1.6")
        p.page.wait_for_function(_IN_VIEW, arg=".cell.framed")


def test_left_and_right_stand_beside_each_other_where_there_is_room(sheets):
    p = sheets("fit.left.hub-supported", "lift", size={"width": 800, "height": 1280})
    left, right = (p.driver.row(f"fit.{side}.top-marked").bounding_box() for side in ("left", "right"))
    assert left["y"] == right["y"]
    assert left["x"] + left["width"] < right["x"]
    p.page.set_viewport_size(PHONE_SIZE)
    left, right = (p.driver.row(f"fit.{side}.top-marked").bounding_box() for side in ("left", "right"))
    assert left["y"] + left["height"] <= right["y"]


def test_a_side_over_a_column_is_one_word_on_one_line_on_the_smallest_phone(sheets):
    p = sheets("base.readings", "readings", size={"width": 320, "height": 640}, language="es")
    heads = p.page.locator(".cells-head:visible span", has_text="IZQUIERDA")
    expect(heads.first).to_be_visible()
    for box, line in heads.evaluate_all(
        "heads => heads.map(head => [head.getClientRects()[0].height, parseFloat(getComputedStyle(head).lineHeight)])"
    ):
        assert box < 1.5 * line
    fits = "nodes => nodes.every((node) => node.scrollWidth <= node.clientWidth)"
    assert p.page.locator(".cells-head:visible").evaluate_all(fits)


_IS_WHOLE = "node => node.scrollWidth <= node.clientWidth + 1 && node.scrollHeight <= node.clientHeight + 1"


@pytest.mark.parametrize("language", ["en", "es"])
def test_nothing_of_a_title_or_of_a_longer_text_is_cut_on_a_small_phone(sheets, language):
    p = sheets("vehicle.high-voltage", "possible", language=language)
    place = p.page.locator(".top-place")
    expect(place).to_contain_text("13")
    assert place.evaluate(_IS_WHOLE), place.inner_text()
    p.save_elsewhere("window.source", "field-set", {"value": "Service information of the maker, edition 7, page 112"},
                     instead=True)  # fmt: skip
    p.driver.open_sheet(p.job, "readings")
    source = p.driver.key("text-window.source")
    expect(source).to_have_value("Service information of the maker, edition 7, page 112")
    assert source.evaluate(_IS_WHOLE), source.bounding_box()


@pytest.mark.parametrize("size", [{"width": 800, "height": 1280}, {"width": 740, "height": 360}])
def test_where_there_is_room_for_two_columns_neither_stands_empty(sheets, size):
    facts = [DESCRIPTION, *WINDOWS, *READ]
    p = sheets("finish.front", "plan", facts=facts, size=size)
    middle = p.page.locator(".job-sheet").bounding_box()["width"]
    plan, maps = (
        p.page.locator(f".sheet-row:has({card})").bounding_box() for card in (".plan-card", ".tilt-maps-card")
    )
    assert plan["x"] + plan["width"] < maps["x"]
    for slot in ("consent", "choose.single-use"):
        assert p.driver.row(slot).bounding_box()["width"] > middle - 2, slot
    p.driver.open_sheet(p.job, "check")
    p.driver.wait_for("result-table")
    p.page.wait_for_function(_BESIDE, arg=["[data-key=result-table]", ".tilt-maps-card"])
    left, right = (p.driver.key(f"proof-{side}").bounding_box() for side in ("left", "right"))
    assert left["x"] + left["width"] <= right["x"]
    p.driver.open_sheet(p.job, "possible")
    gap, radius = (p.driver.cell(f"vehicle.{name}").bounding_box() for name in ("arch-gap", "tyre-radius"))
    assert gap["y"] == radius["y"]


def test_what_a_fill_tells_is_told_in_the_colours_of_the_system_too(sheets):
    p = sheets("vehicle.tyres", "condition", [["vehicle.load", "field-set", {"value": "Empty"}]])
    p.page.emulate_media(forced_colors="active")
    chips = [f"[data-key^='chip-vehicle.load'][aria-pressed='{pressed}']" for pressed in ("true", "false")]
    for selectors in (chips, [".strip-mark.done", ".strip-mark.open:not(.here)"]):
        pressed, other = p.page.evaluate(_FILLS, [None, *selectors])
        assert pressed != other, selectors


def test_the_thick_points_of_both_rings_differ_in_the_colours_of_the_system_too(sheets):
    p = sheets("fit.left.hub-supported", "bench.left")
    p.page.emulate_media(forced_colors="active")

    def ink(selector: str) -> int:
        """Return how many pixels of the mark in front of the words have not the colour of the page."""
        image = Image.open(io.BytesIO(p.page.locator(selector).screenshot())).convert("L")
        mark = image.crop((0, 0, 17, image.height))
        return sum(abs(value - image.getpixel((18, 0))) > 100 for value in mark.get_flattened_data())

    assert ink(".thick-key.inner") > 1.3 * ink(".thick-key:not(.inner)")
