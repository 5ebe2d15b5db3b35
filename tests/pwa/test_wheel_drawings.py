"""The smaller drawings of a wheel: order of tightening, something between the faces, the phone as a level."""

import math

import pytest
from drawing_page import PLACES, SHOW, TROUBLES

from calc.fit.tightening import tightening_order

PATTERNS = {
    "rectangle": [[48.0, 38.0], [48.0, 142.0], [48.0, 218.0], [48.0, 322.0]],
    "five": [[50.0, 72.0 * n] for n in range(5)],
    "uneven": [[40.0, 10.0], [55.0, 95.0], [40.0, 170.0], [55.0, 285.0], [47.0, 330.0], [50.0, 240.0]],
}
CENTRES = """() => [...document.querySelectorAll(".order-sign")].map((sign) => {
    const box = sign.querySelector(".order-ring").getBoundingClientRect();
    const { bolt } = sign.dataset;
    return {bolt: Number(bolt), state: sign.classList[1], x: box.x + box.width / 2, y: box.y + box.height / 2};
})"""
FLANGE = """() => { const box = document.querySelector(".ring-body").getBoundingClientRect();
    return [box.x + box.width / 2, box.y + box.height / 2]; }"""


@pytest.fixture(scope="module")
def browser(whole_browser):
    """The shell hears of no motion."""
    return whole_browser


def show_order(page, side: str, bolts, at: int, **more):
    order = tightening_order([tuple(bolt) for bolt in bolts])
    model = {"side": side, "places": bolts, "order": order, "at": at}
    page.evaluate(SHOW, {"module": "drawings/bolt-face", "widget": "BoltFace", "model": model, **more})
    return order


def seen_degrees(side: str, x: float, y: float) -> float:
    """Clock angle of a place on the screen about the flange's centre, as the person at that wheel reads it."""
    rearward = x if side == "left" else -x
    return math.degrees(math.atan2(rearward, -y)) % 360


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("pattern", PATTERNS)
def test_bolts_stand_where_they_are_and_carry_their_order(phone, side, pattern):
    bolts = PATTERNS[pattern]
    order = show_order(phone, side, bolts, 2)
    cx, cy = phone.evaluate(FLANGE)
    signs = phone.evaluate(CENTRES)
    assert [sign["bolt"] for sign in signs] == order
    for n, sign in enumerate(signs):
        clock = seen_degrees(side, sign["x"] - cx, sign["y"] - cy)
        difference = (clock - bolts[sign["bolt"] - 1][1] + 180) % 360 - 180
        assert abs(difference) < 0.5
        assert sign["state"] == ("done" if n < 2 else "next" if n == 2 else "later")
    numbers = phone.locator(".order-sign").evaluate_all(
        "(all) => all.map((sign) => [sign.dataset.bolt, sign.textContent])"
    )
    assert all(bolt == number for bolt, number in numbers), "the numbers of the rings' bolts"
    assert phone.evaluate(TROUBLES) == []


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("side", "clock_deg"), [("left", 112.0), ("right", 112.0), ("right", 300.0), ("left", 0.0)])
def test_what_lies_between_the_faces_is_drawn_where_it_would_be(phone, side, clock_deg, language):
    model = {
        "side": side,
        "clock_deg": clock_deg,
        "far_edge_mm": 0.42,
        "centre_mm": 0.21,
        "flange_diameter_mm": 150.0,
        "bolts": PATTERNS["rectangle"],
    }
    phone.evaluate(
        SHOW, {"module": "drawings/gap-drawing", "widget": "GapDrawing", "model": model, "language": language}
    )
    (line,) = phone.evaluate(PLACES, ["[data-gap]", ["x1", "y1"], ["x2", "y2"]])
    for x, y in line["places"]:
        assert abs((seen_degrees(side, x, y) - clock_deg + 180) % 360 - 180) < 0.01
    assert phone.evaluate(TROUBLES) == []
    comma = {"en": ".", "es": ","}[language]
    assert f"0{comma}42 mm" in phone.inner_text("[data-key=gap-far]")
    assert f"0{comma}21 mm" in phone.inner_text("[data-key=gap-centre]")


SENSOR = """(rests) => {
    window.rests = rests;
    const send = (beta, gamma) =>
        dispatchEvent(new DeviceOrientationEvent("deviceorientation", {alpha: 0, beta, gamma}));
    window.feed = setInterval(() => { if (window.rests.length) send(...window.rests[0]); }, 50);
}"""


def show_level(page, side: str):
    what = {"module": "fields/phone-level", "widget": "PhoneLevel", "model": {"side": side}, "callbacks": ["onTurn"]}
    page.evaluate(SHOW, what)


def test_the_phone_as_a_level_gives_the_turn_between_two_rests(phone):
    phone.evaluate(
        SHOW,
        {"module": "fields/phone-level", "widget": "PhoneLevel", "model": {"side": "left"}, "callbacks": ["onTurn"]},
    )
    assert phone.locator("[data-key=level-hanging]").is_disabled()
    said = phone.locator("[data-key=level-said]")
    phone.evaluate(SENSOR, [[90, 0]])
    phone.locator("[data-key=level-ride]").tap()
    said.filter(has_text="Taken").wait_for()
    phone.evaluate("window.rests = [[84, 90]]")  # upright, its top turned 6 degrees clockwise for the person
    phone.locator("[data-key=level-hanging]").tap()
    said.filter(has_text="6° towards the rear").wait_for()
    phone.evaluate("clearInterval(window.feed)")
    ((_, heard),) = phone.evaluate("window.heard")
    assert heard["how"] == "sensor"
    assert heard["turn_deg"] == pytest.approx(6, abs=1e-6)


def test_without_a_sensor_the_turn_is_typed_and_nonsense_is_kept_and_refused(phone):
    phone.evaluate(
        SHOW,
        {"module": "fields/phone-level", "widget": "PhoneLevel", "model": {"side": "right"}, "callbacks": ["onTurn"]},
    )
    said = phone.locator("[data-key=level-said]")
    phone.locator("[data-key=level-ride]").tap()
    said.filter(has_text="Type the turn below").wait_for()
    phone.locator("[data-key=level-typed]").fill("abc")
    phone.locator("[data-key=level-to-front]").tap()
    assert "Got abc; expected degrees from 0 to 90" in said.inner_text()
    assert phone.input_value("[data-key=level-typed]") == "abc"
    phone.locator("[data-key=level-typed]").fill("4,5")
    phone.locator("[data-key=level-to-front]").tap()
    assert phone.evaluate("window.heard") == [["onTurn", {"turn_deg": -4.5, "how": "typed"}]]
    assert "4.5° towards the front" in said.inner_text()
