"""The cutting drawing at 1:1: its geometry by calc's own figures, its size on paper in a browser, its refusals."""

import math
import re
import threading

import pytest
from werkzeug.serving import make_server

from calc.rings.rings import Ring
from server.desk.cutting_drawing import drawing_of
from tests.server.demo_desk import words_of

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


def test_paper_is_named_that_holds_the_drawing():
    wide = Ring(40, 1, "clockwise", "inboard", 550, 8, 11.0, 3.4, 200.0, 62.0)
    assert (drawing_of(ring(), 1, "left", [], None)["paper"], drawing_of(wide, 1, "left", [], None)["paper"]) == (
        "A4",
        "A3",
    )


@pytest.fixture
def origin(desk):
    server = make_server("127.0.0.1", 0, desk.app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.port}"
    server.shutdown()
    thread.join()
    server.server_close()


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
    pages = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True)))
    assert pages == 2  # one ring to a sheet
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
