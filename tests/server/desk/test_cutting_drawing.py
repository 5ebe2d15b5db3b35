"""The cutting drawing at 1:1: its geometry by calc's own figures, its size on paper in a browser, its refusals."""

import math
import re

import pytest

from calc.rings.rings import Ring
from server.desk.drawings.cutting_drawing import drawing_of
from tests.pdf_text import page_texts
from tests.server.demo_desk import finished_job, ring_sets_of, words_of
from tests.server.ring_forms import RING, fields
from tests.server.served import served

CUT = "/desk/rings/demo-54/1/cut"
ONE_PX_MM = 25.4 / 96
HALF_A_HAIR_MM = 0.05


def ring(looks="inboard", direction="clockwise"):
    return Ring(40, 1, direction, looks, 550, 8, 11.0, 2.4, 148.0, 62.0)


@pytest.mark.parametrize("wheel", ["left", "right"])
@pytest.mark.parametrize("looks", ["inboard", "outboard"])
@pytest.mark.parametrize("direction", ["clockwise", "counterclockwise"])
def test_on_the_marked_face_the_numbers_always_run_the_way_the_ring_says(wheel, looks, direction):
    """By eye on any ring, whatever the wheel: the drawing is laid on the face that carries the marks."""
    drawn = drawing_of(ring(looks, direction), 1, wheel, [], None)
    second = drawn["marks"][1]["from"]
    assert drawn["marks"][0]["from"] == [0, -74]
    assert (second[0] > 0) == (direction == "clockwise")  # y runs down, so to the right of the top is clockwise
    assert drawn["looks"] == (looks if wheel == "right" else {"inboard": "outboard", "outboard": "inboard"}[looks])


@pytest.mark.parametrize(("wheel", "looks"), [("left", "outboard"), ("right", "inboard"), ("left", "inboard")])
def test_a_bolt_stands_where_the_vehicle_has_it(wheel, looks):
    """A bolt towards the front lies on the side where the arrow to the front points, on either face."""
    drawn = drawing_of(
        ring("outboard" if (looks == "outboard") == (wheel == "right") else "inboard"), 1, wheel, [(50, 270)], 12
    )
    x, y = drawn["bolts"][0]["at"]
    assert (x > 0) == (drawn["front"] == "right")
    assert math.hypot(x, y) == pytest.approx(50)


def test_the_thick_point_lies_at_its_mark():
    drawn = drawing_of(ring(), 1, "right", [], None)
    assert drawn["thick"] == pytest.approx(next(m["from"] for m in drawn["marks"] if m["mark"] == 11), abs=1e-3)


def test_a_hole_lies_between_the_marks_that_calc_names_and_breaks_are_said():
    drawn = drawing_of(ring(), 1, "left", [(50, 90), (70, 0), (34, 180)], 12)
    assert [bolt["breaks"] for bolt in drawn["bolts"]] == [None, "the rim", "the bore"]
    low, high = drawn["bolts"][0]["between"]
    by_mark = {m["mark"]: m["from"] for m in drawn["marks"]}
    bolt = drawn["bolts"][0]["at"]
    angle = [math.atan2(y, x) for x, y in (by_mark[low], bolt, by_mark[high])]
    assert min(angle[0], angle[2]) < angle[1] < max(angle[0], angle[2])


@pytest.mark.parametrize(
    ("diameter", "paper"),
    [(148, "A4 or US Letter"), (180, "A4 or US Letter"), (184, "A3 or US Letter"), (200, "A3 or US Tabloid"),
     (280, "A2 or ANSI C"),
     (420, "larger than A2 and ANSI C")],
)  # fmt: skip
def test_the_least_paper_is_named_of_both_standards(diameter, paper):
    """ISO 216 (A4 210 x 297 mm) and ANSI/ASME Y14.1 (A 216 x 279 mm), 10 mm of margin, upright, with its heading."""
    wide = Ring(40, 1, "clockwise", "inboard", 550, 8, 11.0, 3.4, float(diameter), 62.0)
    assert drawing_of(wide, 1, "left", [], None)["paper"] == paper


@pytest.fixture
def origin(desk):
    with served(desk.app) as address:
        yield address


@pytest.mark.parametrize("width", [1280, 360])
def test_on_paper_100_mm_are_100_mm_and_the_ring_has_its_diameter(browser, origin, width):
    """In print a CSS millimetre is a millimetre; nothing may scale the drawing, however narrow the screen."""
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    page.goto(f"{origin}{CUT}?side=left&inner=12&outer=31&bolts=54 45&clearance=12")
    page.emulate_media(media="print")
    for name in ("inner", "outer"):
        size = page.locator(f"#{name} .measure").evaluate("e => e.getBoundingClientRect().width")
        rim = page.locator(f"#{name} .rim").first.evaluate("e => e.getBoundingClientRect().width")
        assert size * ONE_PX_MM == pytest.approx(100, abs=HALF_A_HAIR_MM)
        assert rim * ONE_PX_MM == pytest.approx(148, abs=HALF_A_HAIR_MM)
    assert not page.locator("header").is_visible()
    assert len(page_texts(page.pdf(format="A4", prefer_css_page_size=True))) == 2  # one ring to a sheet
    context.close()


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("inner=99&outer=1", "Expected a mark of the inner ring, 1 to 54; got “99”"),
        ("inner=1&outer=", "Expected a mark of the outer ring"),
        ("inner=1&outer=1&bolts=54", "Line 1. Expected: radius in mm and clock in degrees"),
        ("inner=1&outer=1&bolts=54+45%0A54+x", "Line 2."),
        ("inner=1&outer=1&bolts=54+45&clearance=wide", "Expected: a number such as 12.5. Got: “wide”"),
        ("inner=1&outer=1&bolts=5+45&clearance=12", "less than twice the smallest radius of a bolt"),
    ],
)
def test_what_cannot_be_drawn_is_said_and_nothing_typed_is_lost(desk, query, words):
    answer = desk.get(f"{CUT}?side=right&{query}")
    assert answer.status_code == 422
    assert words in words_of(answer)
    assert "<option selected>right</option>" in answer.text
    for value in re.findall(r"(?:inner|outer|clearance)=(\w+)", query):
        assert f'value="{value}"' in answer.text


def test_the_bolts_of_a_job_come_with_it(desk, job):
    bolts = {"at": [[54, 45], [54, 135]], "thread": {"diameter_mm": 10, "pitch_mm": 1.5}}
    phone = desk.phone
    phone.sync([phone.entry(job, "field-set", {"value": {"typed": {}, "bolts": bolts}}, "vehicle.bolts")])
    shown = desk.words(f"{CUT}?side=left&inner=12&outer=31&job={job}")
    assert "2 54.0 135.0" in shown
    assert desk.get(f"{CUT}?side=left&inner=12&outer=31&job={job}").text.count('class="hole"') == 4
    phone.sync([phone.entry(job, "field-set", {"value": {"bolts": "<script>"}}, "vehicle.bolts")])
    assert desk.get(f"{CUT}?side=left&inner=12&outer=31&job={job}").status_code == 200


def test_a_revision_that_is_not_here_is_404(desk):
    for path in (CUT.replace("/1/", "/2/"), "/desk/rings/no-such/1/drawing"):
        assert desk.get(path).status_code == 404


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_sheet_carries_registration_wheel_and_job_and_fits_its_paper(browser, desk, origin, paper):
    job = finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31))
    bolts = "".join(f"54 {clock}%0A" for clock in (0, 72, 144, 216, 288))
    page = browser.new_page()
    page.goto(f"{origin}{CUT}?side=left&inner=12&outer=31&job={job}&bolts={bolts}&clearance=12")
    assert page.locator("[role=alert]").count() == 0
    sheets = page_texts(page.pdf(format=paper))
    page.close()
    assert len(sheets) == 2
    for ring, sheet in zip(("inner", "outer"), sheets, strict=True):
        assert f"TM12-345LEFTwheel,{ring}job{job[:8]}" in sheet
        assert sheet.startswith(f"{ring.capitalize()}ring,leftwheel")


@pytest.mark.parametrize("query", ["side=right&inner=12&outer=31", "side=left&inner=31&outer=12"])
def test_a_drawing_that_is_not_the_jobs_plan_says_so_on_every_sheet(desk, query):
    """With a registration on it a drawing is believed: the wrong wheel or the marks exchanged must not be cut."""
    job = finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31))
    shown = desk.words(f"{CUT}?{query}&job={job}")
    assert shown.count("■ not this job’s plan") == 2
    assert "Do not cut by this drawing" in shown
    assert "The other wheel" not in shown


def test_without_a_job_nothing_is_said_of_one_and_the_other_wheel_is_a_tap_away(desk):
    shown = desk.words(f"{CUT}?side=left&inner=12&outer=31")
    assert "job" not in shown
    assert "The other wheel" in shown


@pytest.mark.parametrize(("paper", "diameter", "named"), [("A4", 182, "A4 or"), ("Letter", 187, "or US Letter")])
def test_the_widest_ring_for_which_a_paper_is_named_has_room_on_it(browser, desk, origin, paper, diameter, named):
    """Heading and drawing on one sheet, and nothing of the drawing beyond its sides."""
    assert desk.post("/desk/rings/new", fields(RING | {"outer_diameter_mm": str(diameter)})).status_code == 303
    page = browser.new_page()
    page.goto(f"{origin}/desk/rings/bought-in-spring/1/cut?side=left&inner=12&outer=31")
    assert named in page.locator("#inner").inner_text()
    assert len(page_texts(page.pdf(format=paper))) == 2
    page.set_viewport_size({"width": {"A4": 718, "Letter": 740}[paper], "height": 900})  # 190 and 195.9 mm
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    page.close()
