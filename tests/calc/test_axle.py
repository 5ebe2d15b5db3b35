"""The axle in numbers and words."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.choose.axle import axle, wheels_from_total
from calc.numbers.errors import InputError

OWN = {"camber": [-1500, -500], "toe": [0, 200], "aim": None}
WINDOWS = {"left": OWN, "right": OWN}
AXLE = {"total_toe": [50, 350], "thrust": [-100, 100], "cross_camber": None}


def wheels(left, right) -> dict:
    return {
        side: dict(zip(("camber", "toe"), angles, strict=True)) for side, angles in (("left", left), ("right", right))
    }


# COMPUTED from geometry: (left, right) -> total, thrust to the right. 5' is 83.33 mdeg, read as 83.
@pytest.mark.parametrize(
    ("left", "right", "total", "thrust", "way"),
    [
        (250, 250, 500, 0, "straight"),
        (250, 83, 333, 83.5, "to-the-right"),
        (250, -83, 167, 166.5, "to-the-right"),
        (-100, 300, 200, -200, "to-the-left"),
    ],
)
def test_total_toe_and_thrust(left, right, total, thrust, way):
    found = axle(wheels((-1000, left), (-1200, right)))
    assert (found["total_toe"], found["thrust"], found["thrust_way"]) == (total, thrust, way)
    assert found["cross_camber"] == 200
    assert found["patterns"] is None


@given(st.integers(-20_000, 20_000), st.integers(-20_000, 20_000))
def test_total_and_thrust_give_the_wheels_back(left, right):
    found = axle(wheels((None, left), (0, right)))
    back = axle({"total_toe": found["total_toe"], "thrust": found["thrust"]})
    assert (back["left"]["toe"], back["right"]["toe"]) == (left, right)
    assert back["cross_camber"] is found["cross_camber"] is None


@given(st.integers(-5000, 5000), st.integers(-5000, 5000))
def test_halves_round_away_from_zero_and_the_total_is_kept(total, twice_thrust):
    left, right = wheels_from_total(total, twice_thrust / 2)
    exact = Fraction(total + twice_thrust, 2)
    assert left + right == total
    assert abs(left) >= abs(exact)
    assert abs(left - exact) <= Fraction(1, 2)


@pytest.mark.parametrize(
    ("left", "right", "patterns"),
    [
        ((-1000, 500), (-1000, -250), ["skewed-axle"]),
        ((-1000, 100), (-2900, 100), ["one-wheel-off"]),
        ((-1800, 100), (-1700, 100), ["height-or-load"]),
        ((-4000, 100), (-3900, 100), ["height-or-load", "beyond-usual"]),
        ((-1000, 100), (-1000, 100), []),
    ],
)
def test_patterns_of_damage(left, right, patterns):
    assert axle({**wheels(left, right), "windows": WINDOWS, "axle": AXLE})["patterns"] == patterns


@pytest.mark.parametrize(
    ("obj", "field"),
    [
        ({"total_toe": 100}, "thrust"),
        ({"total_toe": 100, "thrust": 0.25}, "thrust"),
        ({"total_toe": 40_000, "thrust": 20_000}, "thrust"),
        ({"left": {"camber": 0, "toe": 1.5}, "right": {"camber": 0, "toe": 0}}, r"left\.toe"),
        ({"left": {"camber": 0, "toe": 1}}, "right"),
        ({**wheels((0, 0), (0, 0)), "windows": {"left": OWN}}, r"windows\.right"),
    ],
)
def test_bad_input_is_named(obj, field):
    with pytest.raises(InputError, match=f"^{field}: expected"):
        axle(obj)
