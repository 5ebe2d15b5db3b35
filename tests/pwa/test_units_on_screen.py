"""What is typed in each unit; another display unit converts what is shown and never what is stored.

0.42 degrees are 25.2 minutes; across a wheel of 381 mm, 381 sin(0.42 degrees) = 2.79 mm = 0.110 inch (by hand).
"""

import json
import re

import pytest
from playwright.sync_api import expect
from screen_checks import PHONE, go, seed_job
from screen_checks import newest_body as live
from screen_checks import open_step as at

_ENTRIES = f"async (job) => JSON.stringify(await {PHONE}.entries(job))"
SHOWN = {
    "deg": "0.42° toe\u2011in",
    "deg-min": "0°25' toe\u2011in",
    "mm": "2.79 mm toe\u2011in",
    "inch": "0.110″ toe\u2011in",
}


def test_the_unit_of_the_screen_changes_nothing_stored(app):
    job = seed_job(app, "base.windows")
    before = app.page.evaluate(_ENTRIES, job)
    readings = [entry for entry in json.loads(before) if entry["slot"] == "base.left.1"]
    assert [reading["body"]["toe"]["text"] for reading in readings] == ["0.42"]
    for unit, shown in SHOWN.items():
        go(app, "#/settings")
        app.fill("diameter", "381")
        app.tap(f"toe-unit-{unit}")
        go(app, f"#/job/{job}/step/base.readings")
        expect(app.key("wheel-base-left").locator("dd").nth(1)).to_contain_text(shown)
        expect(app.key("change-base.left.1-toe")).to_contain_text("0.42° toe\u2011in")
    assert app.page.evaluate(_ENTRIES, job) == before


@pytest.mark.parametrize(
    ("text", "way", "unit", "diameter", "mdeg", "echo"),
    [
        ("0.33", "in", "deg", None, 330, "0.33 degrees in"),
        ("0°20'", "out", "deg-min", None, -333, "0.333 degrees out"),
        ("2.5", "in", "mm", "381", 376, "0.376 degrees in"),
        ("1/16", "out", "inch", "381", -239, "0.239 degrees out"),
        (".45", "in", "deg", None, 450, "0.45 degrees in"),
        ("0", None, "deg", None, 0, "0.00 degrees"),
    ],
)
def test_toe_in_every_unit(app, text, way, unit, diameter, mdeg, echo):
    """Values: 2.5 mm and 1/16 in at D = 381 mm are asin(length / D), computed by hand in degrees."""
    job = at(app, "base.readings")
    app.tap("read")
    app.keep_angle("1.64", "top-in", unit="deg")
    app.type_angle(text, way, unit, diameter)
    assert app.echo.startswith(echo)
    app.keep_angle(text, way, unit, diameter)
    kept = live(app, job, "base.left.1")
    assert kept["camber"]["mdeg"] == -1640
    assert kept["toe"]["mdeg"] == mdeg
    assert kept["toe"]["unit"] == unit
    assert kept["toe"]["text"].replace("′", "'") == text.replace("′", "'")


def test_each_of_two_readings_stands_as_it_was_typed_with_degrees_beside(app):
    job = at(app, "base.readings")
    app.tap("read")
    app.keep_angle("1.64", "top-in", unit="deg")
    app.keep_angle("25.2", "in", unit="deg-min")
    assert live(app, job, "base.left.1")["toe"]["text"] == "25.2"
    app.keep_angle("1.12", "top-in")
    app.keep_angle("0°20", "in")
    app.tap("repeat")
    app.keep_angle("1.64", "top-in")
    app.keep_angle("1/16", "in", "inch", "381")
    app.tap("leave")
    expect(app.key("change-base.left.1-toe")).to_contain_text("25.2' toe\u2011in (0.42°)")
    expect(app.key("change-base.left.2-toe")).to_contain_text("1/16″ toe\u2011in, across 381 mm (0.239°)")
    expect(app.key("change-base.right.1-toe")).to_contain_text("0°20' toe\u2011in (0.333°)")


_MINUTES_ECHOED = {
    "25.2": "0.42 degrees, top in, typed as 25.2 minutes",
    "1°1′": "1.017 degrees, top in, typed as 1 degree 1 minute",
    "15": '"15" could be degrees or minutes. Expected: a number with its sign, such as 15\' or 1°.',
    "0.33": '"0.33" could be degrees or minutes.',
    "75′": '"75′" has 60 minutes or more. Expected: minutes below 60, such as 1°15\' for 75 minutes.',
    "1°2′3": "\"1°2′3\" is not degrees and minutes. Expected: both, such as 0°20', or minutes alone, such as 20'.",
}


def test_degrees_and_minutes_are_said_in_words_before_they_are_kept_or_refused_with_what_to_do(app):
    """A number above 20 can only be minutes, because no reading goes beyond 20 degrees."""
    at(app, "base.readings")
    app.tap("read")
    for text, echo in _MINUTES_ECHOED.items():
        app.type_angle(text, "top-in", "deg-min")
        assert app.echo.startswith(echo)


def test_the_signs_of_degrees_and_minutes_are_keys_like_the_digits(app):
    at(app, "base.readings")
    app.tap("read")
    app.key("unit").select_option("deg-min")
    digit = app.key("key-5").bounding_box()
    for sign, name in (("°", "degrees"), ("′", "minutes")):
        box = app.key(f"key-{sign}").bounding_box()
        assert (round(box["width"]), round(box["height"])) == (round(digit["width"]), round(digit["height"]))
        expect(app.key(f"key-{sign}")).to_have_accessible_name(name)
        drawn, digits = (
            app.page.evaluate("key => parseFloat(getComputedStyle(document.querySelector(key)).fontSize)", key)
            for key in (f'[data-key="key-{sign}"]', '[data-key="key-5"]')
        )
        assert drawn > digits, "a sign is a small part of its letter box"


def test_what_a_wheel_needs_is_said_in_one_unit(app):
    """0.42 in against 0.20 at most: 0.22 degrees are 13 minutes; across 381 mm, 381 sin(0.22 degrees) = 1.46 mm."""
    go(app, "#/settings")
    app.fill("diameter", "381")
    for unit, said in (
        ("deg-min", "0°25' toe\u2011in. It needs 0°13'"),
        ("mm", "2.79 mm toe\u2011in. It needs 1.46 mm"),
    ):
        go(app, "#/settings")
        app.tap(f"toe-unit-{unit}")
        at(app, "round.1.plan")
        expect(app.key("needs")).to_contain_text(f"toe: {said} further toe out.")
        expect(app.key("needs")).not_to_contain_text(re.compile(r"toe.in\S* outside by \d\.\d+°"))


def test_total_toe_and_thrust_make_the_wheels_toes(app):
    """left = total / 2 + thrust, right = total - left; 0.50 in and 0.18 to the right give 0.43 and 0.07."""
    job = at(app, "base.readings")
    app.tap("by-total")
    for text, way in (("1.64", "top-in"), ("1.12", "top-in"), ("0.50", "in"), ("0.18", "right")):
        app.keep_angle(text, way, unit="deg")
    assert live(app, job, "base.left.1")["toe"]["mdeg"] == 430
    assert live(app, job, "base.right.1")["toe"]["mdeg"] == 70
    assert live(app, job, "base.total-toe.1")["value"]["text"] == "0.50"


def test_a_sign_from_a_keyboard_becomes_a_way(app):
    job = at(app, "base.readings")
    app.tap("read")
    app.key("unit").select_option("deg")
    app.tap("key-clear")
    app.key("shown").press_sequentially("-1.64")
    expect(app.key("way-top-in")).to_have_attribute("aria-pressed", "true")
    assert app.key("shown").input_value() == "1.64"
    assert app.echo == "The − means TOP IN. 1.64 degrees, top in"
    app.tap("way-top-out")
    assert app.echo == "The − meant TOP IN; TOP OUT was tapped and counts. 1.64 degrees, top out"
    app.tap("way-top-in")
    app.key("shown").focus()
    app.page.keyboard.press("Enter")
    expect(app.page.locator("main h1:visible")).to_have_text("Reading 1: toe")
    assert live(app, job, "base.left.1")["camber"]["mdeg"] == -1640


def test_a_length_is_typed_at_a_diameter_in_mm_and_the_window_stands_as_it_was_typed(app):
    job = at(app, "base.windows")
    app.window_source("Data sheet 12")
    app.tap("type-toe")
    app.key("unit").select_option("mm")
    app.key("diameter").click()
    app.tap("key-clear")
    app.type_keys("381")
    app.key("shown").click()
    app.type_keys("2.5")
    assert (app.key("shown").input_value(), app.key("diameter").input_value()) == ("2.5", "381")
    app.tap("way-in")
    assert app.echo == "0.376 degrees in, across 381 mm"
    app.tap_until_other_name("keep", ".angle-entry")
    assert app.key("unit").input_value() == "mm", "the other limit begins in the same unit"
    app.type_angle("2.5", "in")
    app.tap("keep")
    expect(app.key("echo")).to_contain_text(re.compile(r"^Both limits are \d.*in\. Type the value less and plus"))
    assert "window.left.toe" not in app.page.evaluate(_ENTRIES, job)
    app.tap("keep")
    expect(app.key("single-toe")).to_be_visible()
    expect(app.key("window-toe")).to_contain_text(re.compile(r"2\.5 mm .*in, across 381 mm \(0\.376° .*in\)"))
    app.tap("undo")
    expect(app.key("window-toe")).to_contain_text("not typed yet")
