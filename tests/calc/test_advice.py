"""Each advice code comes where calc/README: Choosing says, and not a millidegree earlier."""

import pytest

from calc.choose.choose import choose
from fixtures.golden.choose_cases import RING_SETS

FIFTY_FOUR = next(obj for obj in RING_SETS if obj["id"] == "fifty-four")
MIDDLE = (-1000, 100)


def advice(left=MIDDLE, right=MIDDLE, rings=("auto", "auto"), **changes) -> list[str]:
    own = {"camber": [-1500, -500], "toe": [0, 200], "aim": None}
    case = {
        "ring_sets": [FIFTY_FOUR],
        "wheels": {
            side: {"camber": camber, "toe": toe, "rings": wanted}
            for side, (camber, toe), wanted in zip(("left", "right"), (left, right), rings, strict=True)
        },
        "windows": {"left": own, "right": own},
        "axle": {"total_toe": [0, 400], "thrust": [-100, 100], "cross_camber": None},
    }
    return choose({**case, **changes})["advice"]


def test_nothing_to_say_in_the_middle_of_all_windows():
    assert advice() == []


@pytest.mark.parametrize("rings", ["no", "yes"])
@pytest.mark.parametrize(
    ("camber", "near"),
    [(-1601, False), (-1600, True), (-1399, False), (-1400, True), (-1500, True), (-600, True), (-601, False)],
)
def test_reread_where_the_base_is_within_two_sd_of_an_edge_whether_or_not_it_gets_rings(camber, near, rings):
    said = [code for code in advice(left=(camber, 100), rings=(rings, "no")) if code.startswith("reread")]
    assert said == (["reread-left"] if near else [])


@pytest.mark.parametrize(("toe", "near"), [(-60, True), (-61, False), (259, True), (260, True), (261, False)])
def test_reread_not_where_an_angle_is_further_outside_than_reading_again_could_mend(toe, near):
    assert ("reread-right" in advice(right=(-1450, toe))) == near


def test_reread_goes_by_the_sd_of_the_mean():
    spread = {"camber_sd": {"left": 20, "right": 20}, "toe_sd": {"left": 10, "right": 10}}
    assert advice(left=(-1459, 100), rings=("no", "no"), spread=spread) == []
    assert advice(left=(-1460, 100), rings=("no", "no"), spread=spread) == ["reread-left"]


def test_skewed_axle():
    assert "skewed-axle" in advice(left=(-1000, 320), right=(-1000, -110))
    assert "skewed-axle" not in advice(left=(-1000, 205), right=(-1000, -1), axle=axle(thrust=[-110, 110]))
    assert "skewed-axle" not in advice(left=(-1000, 320), right=(-1000, -110), axle=axle(total_toe=[0, 200]))
    assert "skewed-axle" in advice(left=(-1600, 320), right=(-400, -110))
    assert "skewed-axle" not in advice(left=(-1601, 320), right=(-1000, -110))
    assert "skewed-axle" not in advice(left=(-1000, 320), right=(-399, -110))
    assert "skewed-axle" not in advice(left=(-1000, 320), right=(-1000, 90))


def axle(**changes) -> dict:
    return {"total_toe": [0, 400], "thrust": [-100, 100], "cross_camber": None, **changes}


@pytest.mark.parametrize(
    ("left", "right", "off"),
    [
        ((-1000, 600), (-1000, 100), False),
        ((-1000, 601), (-1000, 100), True),
        ((-1000, 401), (-1000, -200), True),
        ((-2000, 100), (-1400, 100), False),
        ((-2001, 100), (-1500, 100), True),
        ((-2001, 100), (-1410, 100), True),
        ((-1300, 100), (-700, 100), False),
        ((-1300, 100), (-699, 100), True),
    ],
)
def test_one_wheel_off(left, right, off):
    assert ("one-wheel-off" in advice(left, right, axle=axle(thrust=None))) == off


def test_one_wheel_off_is_not_said_of_the_toes_of_a_skewed_axle():
    assert advice(left=(-1000, 420), right=(-1000, -220)) == ["skewed-axle"]
    assert "one-wheel-off" in advice(left=(-1000, 420), right=(-1000, -220), axle=axle(thrust=None))
    assert advice(left=(-1350, 420), right=(-700, -220)) == ["skewed-axle", "one-wheel-off"]


def test_cambers_that_the_maker_wants_apart_are_compared_with_that():
    own = {"camber": [-1500, -500], "toe": [0, 200], "aim": None}
    windows = {"left": own, "right": {**own, "camber": [-1100, -100]}}
    assert "one-wheel-off" not in advice((-1350, 100), (-350, 100), windows=windows)
    assert "one-wheel-off" in advice((-1351, 100), (-350, 100), windows=windows)
    nothing = {side: {"camber": None, "toe": None, "aim": None} for side in ("left", "right")}
    no_axle = dict.fromkeys(axle())
    assert advice((-1300, 100), (-699, 100), windows=nothing, axle=no_axle) == ["one-wheel-off"]


@pytest.mark.parametrize(
    ("left", "right", "said"),
    [(-1551, -1551, True), (-1550, -1551, False), (-1600, -1899, True), (-1600, -1900, False), (-1600, -400, False)],
)
def test_height_or_load(left, right, said):
    assert ("height-or-load" in advice(left=(left, 100), right=(right, 100))) == said


@pytest.mark.parametrize(
    ("reading", "said"), [((-3500, 100), False), ((-3501, 100), True), ((-1000, 1200), False), ((-1000, -1001), True)]
)
def test_beyond_usual(reading, said):
    assert ("beyond-usual" in advice(right=reading)) == said


def test_out_of_reach():
    assert "out-of-reach" in advice(left=(-2700, 100))
    assert "out-of-reach" not in advice(left=(-2500, 100))


def test_null_windows_raise_no_needs():
    nothing = {"camber": None, "toe": None, "aim": None}
    windows, no_axle = {"left": nothing, "right": nothing}, dict.fromkeys(axle())
    assert advice((9000, -9000), (8400, 9000), windows=windows, axle=no_axle) == []
