"""The ring drawing against calc: what stands in the rendered SVG is where calc says it must stand on that wheel.

Also: the same in words, and nothing cut off or lying on something else at 360 px.
"""

import itertools
import math

import numpy as np
import pytest
from drawing_page import CONTRASTS, PHONE, PLACES, SHOW, TROUBLES, ring, ring_set

from calc.rings.cutting import clearance_marks
from calc.rings.rings import RingSet, mark_clock, marked_face, thick_point_clock, thickness

TOLERANCE_MM = 0.01
BOLTS = [[48.0, 38.0], [52.0, 142.0], [48.0, 218.0], [52.0, 322.0], [40.0, 275.5]]

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


def show_rings(page, side, rings, pair, bolts=BOLTS, **more):
    model = {"side": side, "ringSet": rings, "pair": pair, "bolts": bolts, "clearance_mm": 12}
    page.evaluate(SHOW, {"module": "drawings/ring-drawing", "widget": "RingDrawing", "model": model, **more})


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
    for name, at_top, rim in (("inner", pair[0], both.inner.outer_diameter_mm / 2), ("outer", pair[1], outermost)):
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
    rim = max(both.inner.outer_diameter_mm, both.outer.outer_diameter_mm) / 2
    for name, place in (("inner", "inside"), ("outer", "outside")):
        numbers = phone.evaluate(PLACES, [f"[data-ring={name}] .ring-number", ["x", "y"]])
        far = [math.hypot(*number["places"][0]) for number in numbers]
        assert max(far) < rim if name == "inner" else min(far) > rim
        assert phone.locator(f"[data-scale={name}]").all_text_contents() == [f"{place}:", f"{name} ring"]
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


@pytest.mark.parametrize("theme", ["light", "dark", "contrast"])
def test_text_is_seven_to_one_and_graphics_three_to_one(phone, theme):
    show_rings(phone, "left", ring_set(ring(), ring(marked_face_right="outboard")), [12, 31], theme=theme)
    text, graphics = phone.evaluate(CONTRASTS)
    assert text >= 7
    assert graphics >= 3
