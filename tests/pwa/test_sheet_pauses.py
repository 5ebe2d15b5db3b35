"""A wheel's sheet: its pauses, what is said going in, shut lines that hide nothing unusual, cautions that stay."""

import re

from playwright.sync_api import expect
from sheet_driver import CAME_MS

CARRIED, FREE, FACES = "fit.left.hub-supported", "fit.left.hub-free", "fit.left.faces"


def pause(p, name):
    return p.driver.key(f"pause-{name}")


def test_one_pause_is_open_and_says_what_to_know_going_in(sheets):
    p = sheets(CARRIED, "wheel.left")
    expect(p.page.locator(".pause.open")).to_have_count(1)
    expect(p.driver.key("going-in-hub-off")).to_contain_text("asbestos")
    expect(p.driver.key("side")).to_contain_text("LEFT")
    p.driver.tap("open-pause-tight")
    expect(p.page.locator(".pause.open")).to_have_count(1)
    expect(p.driver.key("going-in-tight")).to_be_visible()
    assert p.driver.state("fit.left.bolts-by-hand") == "locked"


def test_a_pause_shuts_to_a_line_that_names_what_is_unusual_and_the_next_opens(sheets):
    p = sheets(FREE, "wheel.left")
    p.driver.choose(FREE, "eased")
    shut = pause(p, "hub-off")
    expect(shut.locator(".pause-unusual")).to_contain_text("Eased")
    expect(pause(p, "stack")).to_have_class("pause open")
    expect(p.driver.key("going-in-stack")).to_be_in_viewport()


def test_any_row_of_a_shut_pause_opens_alone_and_is_corrected(sheets):
    p = sheets(FACES, "wheel.left")
    p.driver.tap("open-pause-hub-off")
    p.driver.tap("alone-fit.left.line")
    rows = pause(p, "hub-off").locator(".sheet-row:visible")
    expect(rows).to_have_count(1)
    expect(pause(p, "stack")).to_have_class("pause open")
    p.page.wait_for_timeout(CAME_MS)
    p.driver.tap("option-fit.left.line-opened")
    expect(p.driver.row("fit.left.line-capped")).to_be_visible()  # an answer that needs more opens the pause again
    assert p.value("fit.left.line") == "opened"


def test_the_main_button_opens_the_pause_of_the_next_open_row(sheets):
    p = sheets(CARRIED, "wheel.left")
    p.driver.tap("open-pause-brake")
    p.driver.next()
    expect(p.driver.key(f"hold-{CARRIED}")).to_be_focused()
    expect(pause(p, "hub-off")).to_have_class("pause open")


def test_a_caution_stays_in_the_banner_until_the_row_that_ends_it(sheets):
    p = sheets(CARRIED, "wheel.left")
    expect(p.driver.key("in-force")).to_be_hidden()
    p.driver.hold(CARRIED)
    expect(p.driver.key("in-force")).to_contain_text("Hub can drop: hits hands")
    p.driver.open_sheet(p.job, "wheel.right")
    expect(p.driver.key("in-force")).to_be_hidden()


def test_a_caution_ends_with_the_row_that_ends_it(sheets):
    p = sheets("fit.left.flush-again", "wheel.left")
    expect(p.driver.key("in-force")).to_be_hidden()


def test_bar_list_and_pauses_count_what_is_open_alike(sheets):
    """Cause: the pauses left out rows that an answer still to be given may bring; the verdict counted as a question."""
    p = sheets(CARRIED, "wheel.left")
    heads = p.page.locator(".pause-words").all_inner_texts()
    inside = [int(count) for head in heads for count in re.findall(r"(\d+) open", head)]
    assert len(inside) == 4
    assert counted(p, "wheel.left") == [sum(inside)] * 2
    p = sheets("vehicle.ring-place", "possible")
    asked = ("ring-place", "pilot", "sensor", "rear-brake", "parking-brake", "suspension", "high-voltage", "arch-gap",
             "tyre-radius", "bolts")  # fmt: skip
    may_come = ("sensor-gap", "caliper-bracket")
    assert counted(p, "possible") == [len(asked + may_come)] * 2


def counted(p, sheet) -> list[int]:
    """What the bar and the list of sheets say of one sheet."""
    p.driver.tap("menu")
    said = [p.page.locator(".top-place").inner_text(), p.driver.key(f"sheet-{sheet}").inner_text()]
    p.driver.tap("close-list")
    return [int(re.search(r"(\d+) open", words)[1]) for words in said]
