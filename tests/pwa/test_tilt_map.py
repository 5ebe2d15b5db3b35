"""The tilt map in the rendered page: a tap gives that pair, buttons and fingers move it, the words say the same."""

import math

import numpy as np
import pytest
from drawing_page import CONTRASTS, PHONE, SHOW, TROUBLES, ring, ring_set
from scipy.stats import chi2

from calc.rings.rings import RingSet
from calc.rings.table import table_of

TABLE = table_of(RingSet.from_json(ring_set(ring(), ring(), id="demo-54")))
MAP = {
    "side": "left",
    "base": [-1640, 420],
    "window": {"camber": [-1500, -500], "toe": [0, 200]},
    "tables": [TABLE],
    "predicted": {
        "at": [-1010, 95],
        "covariance": [[2900, 300], [300, 1400]],
        "ring_set": "demo-54",
        "pair": [12, 31],
    },
    "check": [-960, 150],
}


def show_map(page, language="en", theme="light", **changes):
    what = {
        "module": "drawings/tilt-map",
        "widget": "TiltMap",
        "model": {**MAP, **changes},
        "callbacks": ["onTry"],
        "language": language,
        "theme": theme,
    }
    page.evaluate(SHOW, what)


def plot_of(page) -> tuple[float, float, float]:
    """(px per mdeg, x of toe 0, y of camber 0) on the screen, from the two symbols whose readings are known."""
    boxes = {key: page.locator(f"[data-key=map-{key}] .map-mark").bounding_box() for key in ("base", "predicted")}
    x, y = {}, {}
    for key, box in boxes.items():
        x[key], y[key] = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    scale = (x["base"] - x["predicted"]) / (MAP["base"][1] - MAP["predicted"]["at"][1])
    return scale, x["base"] - MAP["base"][1] * scale, y["base"] + MAP["base"][0] * scale


@pytest.mark.parametrize("zooms", [0, 4])
def test_a_tap_on_a_point_gives_that_pair(phone, zooms):
    show_map(phone)
    for _ in range(zooms):
        phone.locator("[data-key=map-closer]").tap()
    scale, x0, y0 = plot_of(phone)
    camber, toe = np.array(TABLE["camber"]), np.array(TABLE["toe"])
    plot = phone.locator(".map-frame").bounding_box()
    tapped = 0
    for wanted in range(7, camber.size, 131):
        x = x0 + (MAP["base"][1] + toe[wanted]) * scale
        y = y0 - (MAP["base"][0] + camber[wanted]) * scale
        inside = plot["x"] < x < plot["x"] + plot["width"] and plot["y"] < y < plot["y"] + plot["height"]
        if not inside:
            continue
        phone.touchscreen.tap(x, y)
        tapped += 1
        _, tried = phone.evaluate("window.heard.at(-1)")
        k = (tried["pair"][0] - 1) * 54 + tried["pair"][1] - 1
        assert tried["ring_set"] == "demo-54"
        assert tried["effect"] == [camber[k], toe[k]]
        # The finger's place is known to a pixel or so; the point given lies no farther than that from the wanted one.
        assert math.hypot(camber[k] - camber[wanted], toe[k] - toe[wanted]) * scale < 1.0
        assert f"{tried['pair'][0]} meets {tried['pair'][1]}" in phone.inner_text(".map-said")
    assert len(phone.evaluate("window.heard")) == tapped > (15 if zooms == 0 else 0)


def test_a_tap_where_the_rings_reach_nothing_says_so(phone):
    show_map(phone)
    plot = phone.locator(".map-frame").bounding_box()
    for _ in range(4):
        phone.locator("[data-key=map-wider]").tap()
    phone.touchscreen.tap(plot["x"] + 8, plot["y"] + 8)
    assert phone.evaluate("window.heard") == []
    assert "reach nothing there" in phone.inner_text(".map-said")


def test_zoom_and_pan_by_buttons_and_the_middle_by_a_button(phone):
    show_map(phone)
    before, x0, _ = plot_of(phone)
    phone.locator("[data-key=map-closer]").tap()
    closer, _, _ = plot_of(phone)
    assert closer == pytest.approx(before * 1.6, rel=1e-3)
    phone.locator("[data-key=map-all]").tap()
    phone.locator("[data-key=map-right]").tap()
    assert plot_of(phone)[1] < x0 - 50
    phone.locator("[data-key=map-all]").tap()
    phone.locator("[data-key=map-middle]").tap()
    ((_, tried),) = phone.evaluate("window.heard")
    assert math.hypot(*tried["effect"]) < 300  # the view of everything has the base near its middle


def test_two_fingers_enlarge_what_lies_between_them(phone):
    show_map(phone)
    before, x0, _ = plot_of(phone)
    frame = phone.locator(".map-frame").bounding_box()
    x, y = frame["x"] + frame["width"] / 2, frame["y"] + frame["height"] / 2
    held = (x - x0) / before
    cdp = phone.context.new_cdp_session(phone)
    for kind, apart in (("touchStart", 20), ("touchMove", 40), ("touchMove", 60), ("touchEnd", None)):
        fingers = [] if apart is None else [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
        cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})
        phone.evaluate("() => new Promise(requestAnimationFrame)")  # moves are handed over once a frame
    after, x0, _ = plot_of(phone)
    assert after == pytest.approx(before * 3, rel=0.02)
    assert (x - x0) / after == pytest.approx(held, abs=3 / after)


def test_words_of_the_map(phone):
    show_map(phone)
    cells = phone.locator("[data-key=map-row-predicted] td").all_inner_texts()
    assert cells == ["1.01° top in", "0.10° toe\u2011in"]
    assert phone.locator("[data-key=map-row-window] td").all_inner_texts()[0] == "1.50° top in to 0.50° top in"
    described = phone.evaluate("""() => document.getElementById(
        document.querySelector(".tilt-map").getAttribute("aria-describedby")).textContent""")
    for words in ("Base reading", "1.64° top in", "Check reading", "0.15° toe\u2011in", "Window"):
        assert words in described
    show_map(phone, window={"camber": None, "toe": [0, None]}, check=None, predicted=None)
    cells = phone.locator("[data-key=map-row-window] td").all_inner_texts()
    assert cells == ["none given", "0, straight, or further towards toe in"]
    assert phone.locator("[data-key=map-row-check]").count() == 0


def test_the_ellipse_is_that_of_nine_in_ten(phone):
    show_map(phone, predicted={**MAP["predicted"], "covariance": [[2500, 0], [0, 400]]})
    scale, _, _ = plot_of(phone)
    box = phone.locator(".tilt-map .map-spread").evaluate(
        "node => { const b = node.getBBox(); return [b.width, b.height]; }"
    )
    zoom = phone.evaluate("document.querySelector('.tilt-map').getScreenCTM().a")
    long, short = (2 * math.sqrt(chi2(2).ppf(0.9)) * sd * scale / zoom for sd in (50, 20))
    assert sorted(box) == pytest.approx([short, long], rel=0.02)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("base", [[-1640, 420], [640, -1420], [5, -3]])
def test_no_word_of_the_map_is_cut_off_at_any_zoom(phone, language, base):
    show_map(phone, language=language, base=base)
    for key in ["map-all", *["map-closer"] * 5, "map-all", *["map-wider"] * 3]:
        phone.locator(f"[data-key={key}]").tap()
        assert phone.evaluate(TROUBLES) == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.parametrize("theme", ["light", "dark", "contrast"])
def test_text_is_seven_to_one_and_graphics_three_to_one(phone, theme):
    show_map(phone, theme=theme)
    text, graphics = phone.evaluate(CONTRASTS)
    assert text >= 7
    assert graphics >= 3
