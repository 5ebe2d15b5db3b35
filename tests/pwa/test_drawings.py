"""The rings as drawn against calc: what stands in the rendered strip is where calc says it must stand on that wheel.

Also: nothing is cut off or lies on something else at 360 px.
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


STRIP_RAD = math.pi / 3  # the strip shows this far to either side of the top
STRIP_HALF = 150
_GEOMETRY = """async (model) => (await import("/js/domain/rings/ring-drawing.js")).ringDrawing(model)"""


def show_rings(page, side, rings, pair, **more):
    model = {"side": side, "ringSet": rings, "pair": pair}
    page.evaluate(SHOW, {"module": "drawings/ring-strip", "widget": "RingStrip", "model": model, **more})


def as_seen(side: str, radius_mm: float, clock_rad: float) -> tuple[float, float]:
    """The place as it is seen, x right and y UP: looking inboard, the rear is on the right of the left wheel."""
    rearward_is_right = 1 if side == "left" else -1
    return rearward_is_right * radius_mm * math.sin(clock_rad), radius_mm * math.cos(clock_rad)


@pytest.mark.parametrize(("side", "rings"), CASES, ids=lambda value: value if isinstance(value, str) else "")
def test_marks_bolts_and_thick_points_stand_where_calc_says(phone, side, rings):
    """The geometry of every mark, thick point and bolt."""
    pair = [33, 8]
    model = {"side": side, "ringSet": rings, "pair": pair, "bolts": BOLTS, "clearance_mm": 12}
    drawn = phone.evaluate(_GEOMETRY, model)
    both = RingSet.from_json(rings)
    outermost = max(both.inner.outer_diameter_mm, both.outer.outer_diameter_mm) / 2
    for ring_drawn, at_top in zip(drawn["rings"], pair, strict=True):
        one = getattr(both, ring_drawn["name"])
        assert sorted(mark["mark"] for mark in ring_drawn["marks"]) == list(
            range(one.first_mark, one.first_mark + one.marks)
        )
        for mark in ring_drawn["marks"]:
            clock = float(mark_clock(one, at_top, mark["mark"], side))
            assert math.remainder(mark["clock_rad"] - clock, 2 * math.pi) == pytest.approx(0, abs=1e-9)
        thick = as_seen(side, one.outer_diameter_mm / 2, float(thick_point_clock(one, at_top)))
        assert ring_drawn["thick"]["at"] == pytest.approx(thick, abs=TOLERANCE_MM)
    clocks = np.linspace(0, 2 * math.pi, 72001)
    thickest = clocks[np.argmax(thickness(both, *pair, outermost, clocks))]
    assert drawn["stack"]["thick"]["at"] == pytest.approx(as_seen(side, outermost, thickest), abs=TOLERANCE_MM)
    for bolt, (radius, clock_deg) in zip(drawn["bolts"], BOLTS, strict=True):
        assert bolt["thickness_mm"] == pytest.approx(float(thickness(both, *pair, radius, math.radians(clock_deg))))
        for name, at_top in (("inner", pair[0]), ("outer", pair[1])):
            expected = clearance_marks(getattr(both, name), at_top, (radius, clock_deg), 12.0)["between"]
            assert tuple(bolt["cut"][name]) == tuple(expected)


_NUMBERS = """(name) => [...document.querySelectorAll(`[data-strip=${name}] .ring-number`)]
  .map((node) => node.getBoundingClientRect()).map(({ left, right }) => [left, right]).sort(([a], [b]) => a - b)"""


@pytest.mark.parametrize("pair", [[11, 50], [1, 1], [2, 40], [39, 3]], ids=str)
@pytest.mark.parametrize(("side", "rings"), CASES, ids=lambda value: value if isinstance(value, str) else "")
def test_no_number_of_the_strip_touches_the_next(phone, side, rings, pair):
    """Cause: beside mark 1 the last mark was numbered too, and 1 and 54 read as 154."""
    show_rings(phone, side, rings, [mark if mark <= rings["inner"]["marks"] else 40 for mark in pair])
    for name in ("inner", "outer"):
        numbers = phone.evaluate(_NUMBERS, name)
        assert len(numbers) >= 3
        assert all(right + 2 <= left for (_, right), (left, _) in itertools.pairwise(numbers)), numbers


@pytest.mark.parametrize(("side", "rings"), CASES, ids=lambda value: value if isinstance(value, str) else "")
def test_the_strip_shows_each_mark_where_it_meets_the_eye(phone, side, rings):
    """As far along the strip as it is from the top, towards the side where the person sees it."""
    pair = [33, 8]
    show_rings(phone, side, rings, pair)
    both = RingSet.from_json(rings)
    rearward = 1 if side == "left" else -1
    for name, at_top in (("inner", pair[0]), ("outer", pair[1])):
        one = getattr(both, name)
        ticks = phone.evaluate(PLACES, [f"[data-strip={name}] .ring-tick", ["x1", "y1"]])
        shown = {int(tick["mark"]): tick["places"][0][0] for tick in ticks}
        for mark in range(one.first_mark, one.first_mark + one.marks):
            off = math.remainder(float(mark_clock(one, at_top, mark, side)), 2 * math.pi)
            if abs(off) < STRIP_RAD - 0.01:
                assert shown[mark] == pytest.approx(rearward * off * STRIP_HALF / STRIP_RAD, abs=TOLERANCE_MM), (
                    name,
                    mark,
                )
            elif abs(off) > STRIP_RAD + 0.01:
                assert mark not in shown
        (framed,) = phone.locator(f"[data-strip={name}] .ring-number.top").all_text_contents()
        assert framed == str(at_top)
        towards = marked_face(one, side) == "outboard"
        assert phone.locator(f"[data-strip={name}] .ring-tick[stroke-dasharray]").count() == (
            0 if towards else len(shown)
        )
        (thick,) = phone.evaluate(PLACES, [f"[data-thick={name}]", ["cx", "cy"]])
        x, y = thick["places"][0]
        clock = math.atan2(rearward * x, -y)
        assert math.remainder(clock - float(thick_point_clock(one, at_top)), 2 * math.pi) == pytest.approx(0, abs=1e-6)


def test_front_is_written_on_the_side_where_it_is(phone):
    rings = ring_set(ring(), ring())
    for side, front, rear in (("left", "left", "right"), ("right", "right", "left")):
        show_rings(phone, side, rings, [12, 31])
        assert phone.text_content(f".side-sign[data-place={front}] text") == "FRONT"
        assert phone.text_content(f".side-sign[data-place={rear}] text") == "REAR"
        signs = {
            place: phone.locator(f".side-sign[data-place={place}] text").bounding_box()["x"]
            for place in ("left", "right")
        }
        assert signs["left"] < 120 < signs["right"]


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
