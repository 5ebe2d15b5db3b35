"""The drawings against calc: what stands in the rendered SVG is where calc says it must stand on that wheel.

Also: the same in words, nothing cut off or lying on something else at 360 px, a tap on the map gives that pair.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.stats import chi2

from calc.cutting import clearance_marks
from calc.rings import RingSet, mark_clock, marked_face, thick_point_clock, thickness
from calc.table import table_of

TOLERANCE_MM = 0.01
PHONE = {"width": 360, "height": 740}
BOLTS = [[48.0, 38.0], [52.0, 142.0], [48.0, 218.0], [52.0, 322.0], [40.0, 275.5]]

SHOW = """async (what) => (await import("/tests/drawings-page.js")).show(what)"""
PLACES = """async ([selector, ...points]) =>
    (await import("/tests/drawings-page.js")).placesOf(selector, ...points)"""
TROUBLES = """async () => (await import("/tests/drawings-page.js")).textTroubles()"""


def ring(**more) -> dict:
    return {
        "marks": 54,
        "first_mark": 1,
        "direction": "clockwise",
        "marked_face_right": "inboard",
        "taper_mdeg": 550,
        "taper_sd_mdeg": 8,
        "thick_mark": 1.0,
        "centre_thickness_mm": 2.4,
        "outer_diameter_mm": 148.0,
        "bore_diameter_mm": 62.0,
        **more,
    }


def ring_set(inner: dict, outer: dict, **more) -> dict:
    return {
        "format": 1,
        "id": "s",
        "name": "S",
        "revision": 1,
        "max_tilt_mdeg": None,
        "inner": inner,
        "outer": outer,
        **more,
    }


UNLIKE = {"marks": 40, "first_mark": 0, "taper_mdeg": 700, "thick_mark": 7.25, "outer_diameter_mm": 152.0}
CASES = [
    (
        side,
        ring_set(
            ring(**UNLIKE, direction=inner_way, marked_face_right=inner_face),
            ring(direction=outer_way, marked_face_right=outer_face),
        ),
    )
    for side, inner_way, inner_face, outer_way, outer_face in itertools.product(
        ("left", "right"),
        ("clockwise", "counterclockwise"),
        ("inboard", "outboard"),
        ("clockwise", "counterclockwise"),
        ("inboard", "outboard"),
    )
]


@pytest.fixture(scope="module")
def small_page(browser, origin):
    context = browser.new_context(viewport=PHONE, has_touch=True)
    page = context.new_page()
    page.goto(f"{origin}/tests/run.html")
    yield page
    context.close()


@pytest.fixture
def phone(small_page):
    """A page of the size of a small phone, with touch; every test shows its own drawing and may raise no error."""
    errors = []

    def keep(error):
        errors.append(str(error))

    small_page.on("pageerror", keep)
    yield small_page
    small_page.remove_listener("pageerror", keep)
    assert not errors


def show_rings(page, side, rings, pair, bolts=BOLTS, **more):
    model = {"side": side, "ringSet": rings, "pair": pair, "bolts": bolts, "clearance_mm": 12}
    page.evaluate(SHOW, {"module": "ring-drawing", "widget": "RingDrawing", "model": model, **more})


def as_seen(side: str, radius_mm: float, clock_rad: float) -> tuple[float, float]:
    """The place in the drawing, x right and y DOWN: looking inboard, the rear is on the right of the left wheel."""
    rearward_is_right = 1 if side == "left" else -1
    return rearward_is_right * radius_mm * math.sin(clock_rad), -radius_mm * math.cos(clock_rad)


@pytest.mark.parametrize(("side", "rings"), CASES, ids=lambda value: value if isinstance(value, str) else "")
def test_marks_bolts_and_thick_points_stand_where_calc_says(phone, side, rings):
    pair = [33, 8]
    show_rings(phone, side, rings, pair)
    both = RingSet.from_json(rings)
    ticks = phone.evaluate(PLACES, ["[data-mark]", ["x1", "y1"], ["x2", "y2"]])
    thick = {spot["thick"]: spot["places"][0] for spot in phone.evaluate(PLACES, ["[data-thick]", ["cx", "cy"]])}
    outermost = max(both.inner.outer_diameter_mm, both.outer.outer_diameter_mm) / 2
    for name, at_top, rim in (("inner", pair[0], outermost), ("outer", pair[1], both.outer.outer_diameter_mm / 2)):
        one = getattr(both, name)
        drawn = {int(tick["mark"]): tick["places"] for tick in ticks if tick["ring"] == name}
        assert sorted(drawn) == list(range(one.first_mark, one.first_mark + one.marks))
        for mark, (start, end) in drawn.items():
            clock = float(mark_clock(one, at_top, mark, side))
            assert start == pytest.approx(as_seen(side, rim, clock), abs=TOLERANCE_MM), (name, mark)
            # The tick runs along the radius: its other end has the same direction from the centre.
            assert end == pytest.approx(as_seen(side, math.hypot(*end), clock), abs=TOLERANCE_MM), (name, mark)
        clock = float(thick_point_clock(one, at_top))
        assert thick[name] == pytest.approx(as_seen(side, one.outer_diameter_mm / 2, clock), abs=TOLERANCE_MM)
    clocks = np.linspace(0, 2 * math.pi, 72001)
    thickest = clocks[np.argmax(thickness(both, *pair, outermost, clocks))]
    assert thick["stack"] == pytest.approx(as_seen(side, outermost, thickest), abs=TOLERANCE_MM)
    bolts = {int(b["bolt"]): b["places"][0] for b in phone.evaluate(PLACES, ["[data-bolt] .bolt-head", ["cx", "cy"]])}
    assert len(bolts) == len(BOLTS)
    for number, (radius, clock_deg) in enumerate(BOLTS, start=1):
        place = as_seen(side, radius, math.radians(clock_deg))
        assert bolts[number] == pytest.approx(place, abs=TOLERANCE_MM)


@pytest.mark.parametrize(("side", "rings"), CASES[::5], ids=lambda value: value if isinstance(value, str) else "")
def test_words_say_faces_and_clearances_as_calc_has_them(phone, side, rings):
    pair = [33, 8]
    show_rings(phone, side, rings, pair)
    both = RingSet.from_json(rings)
    for name in ("inner", "outer"):
        towards = marked_face(getattr(both, name), side) == "outboard"
        text = phone.inner_text(f"[data-key=drawing-{name}]")
        assert ("towards you" in text) is towards
        assert ("away from you" in text) is not towards
        strip = phone.text_content(f"[data-strip={name}] .strip-name")
        assert strip.endswith("face you") is towards
        dashed = phone.locator(f"[data-ring={name}] .ring-tick[stroke-dasharray]").count()
        assert dashed == (0 if towards else getattr(both, name).marks)
    rows = phone.locator("[data-key=drawing-bolts] tbody tr")
    for n, (radius, clock_deg) in enumerate(BOLTS):
        cells = rows.nth(n).locator("td").all_inner_texts()
        for text, name, at_top in ((cells[1], "inner", pair[0]), (cells[2], "outer", pair[1])):
            low, high = clearance_marks(getattr(both, name), at_top, (radius, clock_deg), 12.0)["between"]
            assert text == f"{low} to {high}"
        here = thickness(both, *pair, radius, math.radians(clock_deg))
        assert float(cells[3].removesuffix(" mm")) == pytest.approx(float(here), abs=0.0051)
    assert phone.inner_text("[data-key=drawing-meets]").split() == ["33", "meets", "8", "at", "the", "top"]


def test_front_is_written_on_the_side_where_it_is(phone):
    rings = ring_set(ring(), ring())
    for side, front, rear in (("left", "left", "right"), ("right", "right", "left")):
        show_rings(phone, side, rings, [12, 31])
        assert phone.inner_text("[data-key=drawing-side]") == f"{side.upper()} WHEEL"
        signs = {
            place: phone.locator(f".side-sign[data-place={place}] text").bounding_box()["x"]
            for place in ("left", "right")
        }
        assert signs["left"] < 120 < signs["right"]
        assert phone.text_content(f".side-sign[data-place={front}] text") == "FRONT"
        assert phone.text_content(f".side-sign[data-place={rear}] text") == "REAR"
        assert f"on your {front}" in phone.inner_text("[data-key=drawing-front]")


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("pair", [[12, 31], [1, 28], [54, 54], [7, 20]])
def test_nothing_is_cut_off_or_lies_on_something_else(phone, pair, language):
    for side in ("left", "right"):
        for marks in (40, 54, 66):
            rings = ring_set(ring(), ring(marks=marks, marked_face_right="outboard"))
            show_rings(phone, side, rings, [pair[0], min(pair[1], marks)], language=language)
            assert phone.evaluate(TROUBLES) == []
            assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
            smallest = phone.evaluate("""() => Math.min(...[...document.querySelectorAll("svg.drawing text")]
                .map((text) => parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a))""")
            assert smallest >= 12


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


def show_map(page, **changes):
    what = {"module": "tilt-map", "widget": "TiltMap", "model": {**MAP, **changes}, "callbacks": ["onTry"]}
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
    assert cells == ["1.01° top in", "0.10° toe in"]
    assert phone.locator("[data-key=map-row-window] td").all_inner_texts()[0] == "1.50° top in to 0.50° top in"
    described = phone.evaluate("""() => document.getElementById(
        document.querySelector(".tilt-map").getAttribute("aria-describedby")).textContent""")
    for words in ("Base reading", "1.64° top in", "Check reading", "0.15° toe in", "Window"):
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
