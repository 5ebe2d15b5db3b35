"""Numbers on a sheet: keys go into the framed field alone, the first one replaces, nothing half typed is lost."""

import re

import pytest
from playwright.sync_api import expect
from sheet_driver import CAME_MS, SheetDriver

from tests.at_once import until as until_so

ODOMETER = "vehicle.odometer"
LEFT = "base.left.1"  # the slot of a reading
CAMBER, TOE = "base.left.camber.1", "base.left.toe.1"  # its cells
RIGHT_CAMBER = "base.right.camber.1"
MM_31 = {"text": "31", "number": 31, "unit": "mm"}


# Keys pressed, and a field entered again right after the step to the next one: no saving can be done in between.
_BACK_AT_ONCE = """async ([keys, cell, again]) => {
  const tap = (key) => document.querySelector(`[data-key="${key}"]`).click();
  keys.forEach(tap);
  await new Promise((painted) => requestAnimationFrame(() => setTimeout(painted)));
  document.querySelector(`[data-key="cell-${cell}"]`).focus();
  tap(again);
}"""


def text_in(driver: SheetDriver, cell: str) -> str:
    return driver.key(f"cell-{cell}").input_value()


def test_a_number_is_kept_on_going_on_and_the_first_key_replaces_it(sheets):
    p = sheets("vehicle.registration")
    p.driver.number(ODOMETER, "62")
    p.driver.tap("key-next")
    p.driver.wait_state(ODOMETER)
    assert p.value(ODOMETER) == {"text": "62", "number": 62, "unit": "km"}
    assert p.driver.taps == 4
    p.driver.aim(ODOMETER)
    p.driver.type_keys("7")
    assert text_in(p.driver, ODOMETER) == "7"
    p.driver.tap("key-next")
    expect(p.driver.key("bar-note")).to_contain_text("7 km back to 62 km")
    p.driver.tap("undo-last")
    expect(p.driver.key(f"cell-{ODOMETER}")).to_have_value("62")


def test_the_first_key_replaces_an_angle_that_is_still_being_saved(sheets):
    """Cause: the number was taken for half typed until it was stored, and 0.6 and 0.5 became 0.60.5."""
    p = sheets("base.readings", "readings")
    p.driver.aim(CAMBER)
    p.driver.type_keys("1.6")
    p.page.evaluate(_BACK_AT_ONCE, [["way-top-in"], CAMBER, "key-2"])
    assert text_in(p.driver, CAMBER) == "2"
    p.driver.tap("way-top-in")
    expect(p.driver.cell(RIGHT_CAMBER)).to_have_class(re.compile("framed"))
    expect(p.driver.key(f"cell-{CAMBER}")).to_have_value("2")
    expect(p.driver.cell(CAMBER)).to_contain_text("outside by 0.50")


def test_in_and_out_stand_where_they_stand_for_camber_and_for_toe(sheets):
    p = sheets("base.readings", "readings")

    def places(*ways: str) -> list[tuple[float, float]]:
        boxes = [p.driver.key(f"way-{way}").bounding_box() for way in ways]
        return [(box["x"], box["y"] - p.driver.key("key-1").bounding_box()["y"]) for box in boxes]

    p.driver.aim(CAMBER)
    camber = places("top-in", "top-out")
    p.driver.aim(TOE)
    assert places("in", "out") == camber
    assert camber[0][1] < camber[1][1], "in stands over out"


def test_a_way_key_of_the_toe_right_behind_a_camber_says_nothing_of_either(sheets):
    """Cause: for three seconds it was taken for a second thought about the camber, which has no such way."""
    p = sheets("base.readings", "readings")
    p.driver.aim(RIGHT_CAMBER)
    p.driver.type_keys("1.6")
    p.page.evaluate(_BACK_AT_ONCE, [["way-top-in"], TOE, "way-out"])
    expect(p.driver.cell(TOE)).to_have_class(re.compile("framed"))
    expect(p.driver.cell(RIGHT_CAMBER)).to_contain_text("top in")
    expect(p.driver.key(f"cell-{RIGHT_CAMBER}")).to_have_attribute("aria-invalid", "false")
    expect(p.driver.key("way-out")).to_have_attribute("aria-pressed", "false")
    expect(p.driver.key("echo")).to_have_text("LEFT toe, reading 1: type the number first.")
    p.driver.type_keys("42")
    p.driver.tap("key-next")
    expect(p.driver.cell(TOE)).to_contain_text("which way?")


@pytest.mark.parametrize(
    ("sheet", "until", "value", "field", "button"),
    [
        ("possible", "vehicle.arch-gap", MM_31, "cell-", "offered-vehicle.tyre-radius"),
        ("condition", "vehicle.load", "31 kg", "text-", "chip-vehicle.load-empty"),
    ],
    ids=["offered", "chip"],
)  # fmt: skip
def test_a_change_meanwhile_costs_no_tap_of_a_finger_that_is_down(sheets, sheet, until, value, field, button):
    """Cause: what is offered beside a field was made anew with each change, and a tap or the focus on it was lost."""
    p = sheets(until, sheet, [["vehicle.tyre-size", "field-set", {"value": "205/55 R16 91V"}]])
    offered, slot = p.driver.key(button), re.sub("^offered-|^chip-|-empty$", "", button)
    offered.scroll_into_view_if_needed()
    p.page.wait_for_timeout(CAME_MS)
    box = offered.bounding_box()
    p.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    p.page.mouse.down()
    p.save_elsewhere(until, "field-set", {"value": value})
    expect(p.driver.key(field + until)).to_have_value(re.compile("31"))
    p.page.mouse.up()
    until_so(lambda: [each for each in p.fields(slot) if each != value], f"{slot} by {button}")


def test_enter_leads_from_a_text_to_what_is_open_behind_it(sheets):
    p = sheets("vehicle.registration")
    p.driver.text("vehicle.registration", "tm 1", enter=True)
    p.driver.text("vehicle.description", "Van", enter=True)
    p.driver.number(ODOMETER, "6")
    assert p.driver.taps == 2, "the field and the digit"
    assert (p.value("vehicle.registration"), p.value("vehicle.description")) == ("TM 1", "Van")


def test_the_keypad_comes_where_numbers_follow_what_was_tapped(sheets):
    p = sheets("base.settled", "readings")
    p.driver.tick("base.settled")
    expect(p.driver.cell(CAMBER)).to_have_class(re.compile("framed"))
    p.driver.tap("tick-base.settled")
    p.driver.wait_state("base.settled", "open")
    p.driver.key("tick-base.settled").focus()
    p.page.keyboard.press("Enter")
    p.driver.wait_state("base.settled")
    expect(p.driver.key("keypad")).to_have_count(0)  # nobody who presses keys is carried off


def test_a_sheet_that_begins_with_a_field_frames_it_for_whoever_taps(sheets):
    p = sheets("base.windows", "condition")
    p.driver.tap("next")
    expect(p.driver.cell("window.camber.low")).to_have_class(re.compile("framed"))


def test_a_sheet_that_begins_with_a_field_carries_nobody_off_who_presses_keys(sheets):
    p = sheets("base.windows", "condition")
    p.page.keyboard.press("Tab")
    p.driver.key("next").press("Enter")
    p.driver.wait_for("cell-window.camber.low")
    p.page.wait_for_timeout(300)
    expect(p.driver.key("keypad")).to_have_count(0)


def test_the_windows_of_the_wheels_are_enough_and_no_others_leads_to_their_source(sheets):
    p = sheets("base.windows", "readings")
    for cell, text, way in (
        ("camber.low", "1.5", "top-in"),
        ("camber.high", ".5", "top-in"),
        ("toe.low", ".05", "out"),
    ):
        p.driver.angle(f"window.{cell}", text, way)
    expect(p.driver.key("window-total-toe")).not_to_contain_text("Follows")
    p.driver.angle("window.toe.high", ".2", "in")
    follows = re.compile(r"Follows from the wheels: 0\.10° toe.out to 0\.40° toe.in")
    expect(p.driver.key("window-total-toe")).to_contain_text(follows)
    p.driver.tap("windows-none")
    expect(p.driver.key("text-window.source")).to_be_focused()
    expect(p.driver.key("window-thrust")).to_contain_text("none given")
    expect(p.driver.key("window-total-toe")).to_contain_text("Follows from the wheels")
    assert p.value("window.total-toe") is None, "what follows is no answer of the maker"
    p.driver.angle("window.total-toe.low", ".1", "in")
    p.driver.angle("window.total-toe.high", ".3", "in")
    expect(p.driver.key("window-total-toe")).not_to_contain_text("Follows")


def test_a_third_digit_sets_the_mark_where_nothing_else_can_be_meant(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(CAMBER, "16", None)
    assert text_in(p.driver, CAMBER) == "16"
    p.driver.type_keys("4")
    assert text_in(p.driver, CAMBER) == "1.64"
    p.driver.tap("key-erase")
    p.driver.type_keys("5")
    assert text_in(p.driver, CAMBER) == "1.65"
    p.driver.tap("way-top-in")
    p.driver.angle(TOE, "042", "in")
    p.driver.aim(CAMBER)
    p.driver.type_keys("12.5")
    assert text_in(p.driver, CAMBER) == "12.5", "a mark that was typed stays"
    [entry] = p.live(LEFT)
    assert (entry["body"]["camber"]["mdeg"], entry["body"]["toe"]["mdeg"]) == (-1650, 420)


def test_a_leading_zero_is_not_needed_and_nothing_else_than_a_number_is_kept(sheets):
    p = sheets("vehicle.registration")
    p.driver.number(ODOMETER, ".5")
    p.driver.tap("key-next")
    p.driver.wait_state(ODOMETER)
    assert p.value(ODOMETER)["number"] == 0.5
    p.driver.number(ODOMETER, "1.2.3")
    p.driver.tap("key-next")
    expect(p.driver.cell(ODOMETER)).to_contain_text("1.2.3")
    assert p.value(ODOMETER)["number"] == 0.5, "what is no number stays half typed"


def test_the_unit_is_a_key_and_belongs_to_the_value(sheets):
    p = sheets("vehicle.registration")
    p.driver.number(ODOMETER, "60")
    p.driver.tap("key-unit")
    p.driver.tap("key-next")
    p.driver.wait_state(ODOMETER)
    assert p.value(ODOMETER) == {"text": "60", "number": 60, "unit": "mi"}


def test_keys_go_into_the_framed_field_alone(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(CAMBER, "1.6", None)
    p.driver.aim("base.right.toe.1")
    p.driver.type_keys("3")
    assert text_in(p.driver, CAMBER) == "1.6"
    assert text_in(p.driver, "base.right.toe.1") == "3"
    assert p.page.locator(".cell.framed").count() == 1
    expect(p.driver.cell(CAMBER)).to_contain_text("which way?")


def test_three_digits_of_a_hardware_keyboard_get_their_mark_too(sheets):
    p = sheets("base.readings", "readings")
    p.driver.aim(CAMBER)
    p.page.keyboard.type("-164")
    assert text_in(p.driver, CAMBER) == "1.64"
    p.page.keyboard.press("Backspace")
    p.page.keyboard.press("Backspace")
    p.page.keyboard.press("Backspace")
    p.page.keyboard.type("12")
    assert text_in(p.driver, CAMBER) == "1.12"


def test_two_digits_of_a_toe_are_hundredths_and_those_of_a_camber_are_not(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(TOE, "42", None)
    expect(p.driver.cell(TOE)).to_contain_text("which way?")
    p.driver.tap("way-in")
    assert text_in(p.driver, TOE) == "0.42"
    expect(p.driver.cell(TOE)).to_contain_text("outside by 0.22")
    p.driver.angle(TOE, "11", None)
    expect(p.driver.key("echo")).to_contain_text("0.11")  # the way stands already: it is judged as it is typed
    p.driver.tap("way-in")
    expect(p.driver.cell(TOE)).to_contain_text("inside")
    p.driver.angle(TOE, "142", "in")
    assert text_in(p.driver, TOE) == "1.42", "a third digit sets the mark as ever"
    p.driver.angle(CAMBER, "15", "top-in")
    assert text_in(p.driver, CAMBER) == "15", "nobody knows where its mark was meant"
    p.driver.aim(TOE)
    p.driver.tap("key-unit")  # to degrees and minutes
    p.driver.type_keys("42")
    p.driver.tap("key-unit")
    assert text_in(p.driver, TOE) == "42", "another unit leaves what was typed"


def test_the_other_way_key_right_after_corrects_the_angle_that_was_left(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(CAMBER, "1.64", "top-in")
    expect(p.driver.cell(RIGHT_CAMBER)).to_have_class(re.compile("framed"))
    p.driver.tap("way-top-out")
    expect(p.driver.key("echo")).to_contain_text("top out")
    expect(p.driver.cell(CAMBER)).to_contain_text("top out")
    expect(p.driver.cell(RIGHT_CAMBER)).to_have_class(re.compile("framed"))
    p.driver.angle(RIGHT_CAMBER, "1.72", "top-in")
    expect(p.driver.cell(RIGHT_CAMBER)).to_contain_text("top in")
    expect(p.driver.cell(CAMBER)).to_contain_text("top out")
    p.page.reload()
    expect(p.driver.cell(CAMBER)).to_contain_text("top out")


def test_the_way_key_keeps_the_angle_and_frames_the_next_field_and_next_does_not_skip_it(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(CAMBER, "1.64", "top-in")
    expect(p.page.locator(f'.cell.framed input:not([data-key="cell-{CAMBER}"])')).to_have_count(1)
    framed = p.page.locator(".cell.framed input").get_attribute("data-key")
    p.driver.key("key-next").click()
    assert p.page.locator(".cell.framed input").get_attribute("data-key") == framed
    [entry] = p.live(LEFT)
    assert entry["body"]["camber"]["mdeg"] == -1640


def test_how_a_number_stands_is_said_the_moment_it_is_typed(sheets):
    p = sheets("base.readings", "readings")
    p.driver.angle(TOE, "0.42", None)
    p.driver.tap("way-in")
    expect(p.driver.cell(TOE)).to_contain_text("outside by 0.22")
    p.driver.angle(TOE, "0.11", "in")
    expect(p.driver.cell(TOE)).to_contain_text("inside")


def test_a_minus_from_a_keyboard_becomes_a_way(sheets):
    p = sheets("base.readings", "readings")
    p.driver.aim(CAMBER)
    p.page.keyboard.type("-1.64")
    assert text_in(p.driver, CAMBER) == "1.64"
    expect(p.driver.cell(CAMBER)).to_contain_text("top in")
    assert "-" not in p.driver.key("keypad").inner_text()
    p.page.keyboard.press("Enter")
    p.page.wait_for_function(
        "() => document.querySelector('.cell.framed input')?.dataset.key !== 'cell-base.left.camber.1'"
    )
    assert p.live(LEFT)[0]["body"]["camber"]["way"] == "top-in"


@pytest.mark.parametrize("kept", [False, True], ids=["new", "a correction"])
def test_a_half_typed_reading_is_there_after_closing_the_program(sheets, kept):
    p = sheets("base.readings", "readings")
    if kept:
        p.driver.angle(CAMBER, "1.70", "top-in")
    p.driver.angle(CAMBER, "1.6", None)
    p.page.wait_for_timeout(400)
    p.page.close()
    page = p.context.new_page()
    page.goto(f"{p.origin}/#/job/{p.job}/sheet/readings")
    driver = SheetDriver(page)
    driver.settle()
    assert text_in(driver, CAMBER) == "1.6"
    driver.angle(CAMBER, "4", "top-in")
    assert text_in(driver, CAMBER) == "1.64", "typing goes on where it stopped"


def test_the_keypad_goes_when_something_else_is_tapped_and_keeps_what_stood_there(sheets):
    p = sheets("vehicle.registration")
    p.driver.number(ODOMETER, "81")
    p.driver.tap("option-vehicle.steering-wheel-straight")
    p.driver.wait_state("vehicle.steering-wheel")
    p.driver.wait_state(ODOMETER)
    assert p.value(ODOMETER)["text"] == "81"
    assert not p.driver.shows("keypad")


def test_a_key_before_the_step_to_the_next_field_is_painted_goes_into_that_field(sheets):
    """What follows from an answer waits for its painting; who is quicker loses nothing and goes astray nowhere."""
    p = sheets("base.readings", "readings")
    p.driver.aim(CAMBER)
    p.driver.type_keys("164")
    p.page.evaluate("""() => ["way-top-in", "key-2", "key-5"]
      .forEach((key) => document.querySelector(`[data-key="${key}"]`).click())""")
    expect(p.driver.key(f"cell-{CAMBER}")).to_have_value("1.64")
    expect(p.driver.key(f"cell-{RIGHT_CAMBER}")).to_have_value("25")
    expect(p.driver.cell(RIGHT_CAMBER)).to_have_class(re.compile("framed"))
