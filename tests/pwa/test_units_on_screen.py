"""What is typed in each unit; another display unit converts what is shown and never what is stored.

0.42 degrees are 25.2 minutes; across a wheel of 381 mm, 381 sin(0.42 degrees) = 2.79 mm = 0.110 inch (by hand). One
phone for the module; each test has a job of its own.
"""

import pytest
from playwright.sync_api import expect
from screen_checks import PHONE, go
from seeded_phone import READ, WINDOWS, SeededPhone

from tests.at_once import until

pytestmark = pytest.mark.full

_ENTRIES = f"async (job) => JSON.stringify(await {PHONE}.entries(job))"
# Total toe is 0.73 degrees in: 43.8 minutes; 381 sin(0.73 degrees) = 4.85 mm = 0.191 inch.
SHOWN = {
    "deg": "0.73° toe\u2011in",
    "deg-min": "0°44' toe\u2011in",
    "mm": "4.85 mm toe\u2011in",
    "inch": "0.191″ toe\u2011in",
}
LEFT, CELL = "base.left.1", "base.left.toe.1"


@pytest.fixture(scope="module")
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


@pytest.fixture
def driver(phone):
    """The Readings sheet of a new job whose windows are known; readings are to be typed in degrees."""
    return at_readings(phone, *WINDOWS)


def at_readings(phone, *facts):
    phone.open_job([["vehicle.registration", "field-set", {"value": "QX 41 LTM"}], *facts])
    phone.page.goto(f"{phone.origin}/#/settings")
    phone.driver.wait_for("diameter")
    phone.driver.tap("toe-unit-deg")
    phone.driver.fill("diameter", "381")
    return phone.show("sheet/readings")


def in_unit(driver, cell: str, unit: str) -> None:
    """Frame a cell and go through its units until it has this one."""
    driver.aim(cell)
    name = {"deg": "deg", "deg-min": "° ′", "mm": "mm", "inch": "inch"}[unit]
    for _ in range(4):
        if driver.key("key-unit").inner_text() == name:
            return
        driver.tap("key-unit")
    raise AssertionError(f"{cell} has no unit {unit}")


def erase(driver) -> None:
    while driver.page.locator(".cell.framed input").input_value():
        driver.tap("key-erase")


def toe(phone) -> dict:
    return [each["body"]["toe"] for each in phone.bodies("reading-taken") if each["slot"] == LEFT][-1]


def test_the_unit_of_the_screen_changes_nothing_stored(phone):
    driver = at_readings(phone, *WINDOWS, *READ)
    before = phone.page.evaluate(_ENTRIES, phone.job)
    for unit, shown in SHOWN.items():
        go(driver, "#/settings")
        driver.tap(f"toe-unit-{unit}")
        phone.show("sheet/readings")
        expect(driver.key("readings-both")).to_contain_text(shown)
        expect(driver.key(f"cell-{CELL}")).to_have_value("0.42")
        expect(driver.cell(CELL)).to_contain_text("toe\u2011in")
    expect(driver.cell(CELL)).to_contain_text("outside by 0.058″")  # 381 sin(0.22 degrees) = 1.46 mm
    assert phone.page.evaluate(_ENTRIES, phone.job) == before


def test_toe_in_every_unit(phone, driver):
    """Values: 2.5 mm and 1/16 in at D = 381 mm are asin(length / D), computed by hand in degrees."""
    for text, way, unit, mdeg in (
        ("0.33", "in", "deg", 330),
        ("0°20'", "out", "deg-min", -333),
        ("25.2", "in", "deg-min", 420),
        ("2.5", "in", "mm", 376),
        ("1/16", "out", "inch", -239),
        (".45", "in", "deg", 450),
    ):
        in_unit(driver, CELL, unit)
        erase(driver)
        driver.type_keys(text)
        driver.tap(f"way-{way}")
        phone.page.wait_for_function(
            "cell => !document.querySelector(`.cell.framed [data-key='cell-${cell}']`)", arg=CELL
        )
        expect(driver.cell(CELL)).not_to_have_class("wrong")
        kept = toe(phone)
        assert (kept["mdeg"], kept["unit"], kept["text"].replace("′", "'")) == (mdeg, unit, text), text
        assert kept["diameter_mm"] == (381 if unit in ("mm", "inch") else None)


_MINUTES_ECHOED = {
    "25.2": "0.42 degrees in, typed as 25.2 minutes",
    "1°1′": "1.017 degrees in, typed as 1 degree 1 minute",
    "15": '"15" could be degrees or minutes. Expected: a number with its sign, such as 15\' or 1°.',
    "0.33": '"0.33" could be degrees or minutes.',
    "75′": '"75′" has 60 minutes or more. Expected: minutes below 60, such as 1°15\' for 75 minutes.',
    "1°2′3": "\"1°2′3\" is not degrees and minutes. Expected: both, such as 0°20', or minutes alone, such as 20'.",
}


def test_degrees_and_minutes_are_said_in_words_or_refused_with_what_to_do(phone, driver):
    """A number above 20 can only be minutes, because no reading goes beyond 20 degrees."""
    driver.angle(CELL, "0.1", "in")
    driver.aim(CELL)
    in_unit(driver, CELL, "deg-min")
    for text, echo in _MINUTES_ECHOED.items():
        erase(driver)
        driver.type_keys(text)
        expect(driver.key("echo")).to_contain_text(echo)
    for sign, name in (("°", "degrees"), ("′", "minutes")):
        expect(driver.key(f"key-{sign}")).to_have_accessible_name(name)
    assert toe(phone)["text"] == "0.1", "what is refused is not kept"


def test_total_toe_and_thrust_make_the_wheels_toes(phone, driver):
    """left = total / 2 + thrust, right = total - left; 0.50 in and 0.18 to the right give 0.43 and 0.07.

    A wheel's toe that is put right by itself is not made of them any more, and they go.
    """
    driver.tap("by-total")
    for cell, text, way in (("total-toe", "0.50", "in"), ("thrust", "0.18", "right")):
        driver.angle(f"base.{cell}.1", text, way)
    phone.page.wait_for_timeout(300)
    kept = {each["slot"]: each["body"]["toe"]["mdeg"] for each in phone.bodies("reading-taken")}
    assert kept == {"base.left.1": 430, "base.right.1": 70}
    assert phone.fields("base.total-toe.1")[0]["text"] == "0.50"
    driver.tap("by-total")
    driver.angle("base.left.toe.1", "0.20", "in")
    driver.tap("by-total")
    for cell in ("total-toe", "thrust"):
        expect(driver.key(f"cell-base.{cell}.1")).to_have_value("", timeout=30_000)
    assert [phone.fields(f"base.{part}.1")[-1] for part in ("total-toe", "thrust")] == [None, None]


def test_a_window_in_the_order_of_the_page_is_refused_in_words_and_typed_anew_without_erasing(phone):
    """Cause: "0.50 to 1.50 top in" is the wrong way round, and what was typed next was glued to what was refused."""
    driver = at_readings(phone)

    def type_edges(*edges: tuple[str, str]) -> None:
        for edge, text in edges:
            driver.aim(f"window.camber.{edge}")
            driver.type_keys(text)
            driver.tap("way-top-in")

    type_edges(("low", "0.50"), ("high", "1.50"))
    expect(driver.cell("window.camber.high")).to_contain_text("exchange the two")
    driver.type_keys("0.")
    expect(driver.key("cell-window.camber.high")).to_have_value("0.")
    driver.type_keys("50")
    type_edges(("low", "1.50"), ("high", "0.50"))
    expect(driver.key("cell-window.camber.high")).to_have_value("0.50")
    until(lambda: phone.fields("window.left.camber"), "the window")
    assert [edge["mdeg"] for edge in phone.fields("window.left.camber")[-1].values()] == [-1500, -500]


def test_a_window_is_typed_as_a_length_at_its_own_diameter_and_the_wrong_way_round_is_refused(phone):
    driver = at_readings(phone)
    cell = "window.toe.low"
    in_unit(driver, cell, "mm")
    driver.tap("key-diameter")
    driver.type_keys("400")
    driver.tap("key-diameter")
    driver.type_keys("2.5")
    driver.tap("way-in")
    in_unit(driver, "window.toe.high", "mm")
    driver.type_keys("1")
    driver.tap("way-in")
    said = driver.cell("window.toe.high")
    expect(said).to_contain_text("exchange the two")
    assert phone.fields("window.left.toe") == []
    driver.type_keys("2.5")  # the first key replaces what was refused
    driver.tap("way-in")
    expect(driver.key("window-toe")).to_contain_text("single value")
    window = phone.fields("window.left.toe")[0]
    assert phone.fields("window.right.toe") == [window]
    assert [(edge["text"], edge["unit"], edge["diameter_mm"], edge["mdeg"]) for edge in window.values()] == 2 * [
        ("2.5", "mm", 400, 358)
    ]
    driver.tap("windows-each")
    driver.angle("window.right-toe.high", "3", "in")
    expect(driver.key("window-right-toe")).not_to_contain_text("single value")
    assert (len(phone.fields("window.left.toe")), len(phone.fields("window.right.toe"))) == (1, 2)
