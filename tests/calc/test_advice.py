"""Each advice code comes where DEVELOPERS: Choosing says, and not a millidegree earlier."""

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


@pytest.mark.parametrize(
    ("camber", "near"), [(-1399, False), (-1400, True), (-1500, True), (-600, True), (-601, False)]
)
def test_reread_where_no_rings_and_the_base_is_within_two_sd_of_an_edge(camber, near):
    assert advice(left=(camber, 100), rings=("no", "no")) == (["reread-left"] if near else [])


def test_reread_counts_an_edge_missed_from_outside_too():
    assert advice(right=(-1000, 225), rings=("no", "no")) == ["reread-right", "out-of-reach"]


def test_reread_where_rings_answer_an_excess_below_the_band():
    spread = {"toe_sd": {"left": 1, "right": 1}}
    assert advice(left=(-1000, 229), rings=("yes", "auto"), spread=spread) == ["reread-left"]
    assert advice(left=(-1000, 230), rings=("yes", "auto"), spread=spread) == []
    assert advice(left=(-1549, 229), rings=("yes", "auto"), spread=spread) == ["reread-left"]
    assert advice(left=(-1550, 229), rings=("yes", "auto"), spread=spread) == []


def test_skewed_axle():
    assert "skewed-axle" in advice(left=(-1000, 320), right=(-1000, -110))
    assert "skewed-axle" not in advice(left=(-1000, 205), right=(-1000, -1), axle=axle(thrust=[-110, 110]))
    assert "skewed-axle" not in advice(left=(-1000, 320), right=(-1000, -110), axle=axle(total_toe=[0, 200]))
    assert "skewed-axle" not in advice(left=(-1501, 320), right=(-1000, -110))
    assert "skewed-axle" not in advice(left=(-1000, 320), right=(-1000, 90))


def axle(**changes) -> dict:
    return {"total_toe": [0, 400], "thrust": [-100, 100], "cross_camber": None, **changes}


@pytest.mark.parametrize(("toe", "off"), [(1000, False), (1001, True)])
def test_one_wheel_off(toe, off):
    assert ("one-wheel-off" in advice(left=(-1000, toe))) == off


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
    assert advice((9000, -9000), (-9000, 9000), windows=windows, axle=no_axle) == []
