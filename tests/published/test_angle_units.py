"""Typed angles against pint, and toe as a length against lengths worked out independently."""

import math

import pint
import pytest

from calc.choose.choose import choose
from calc.numbers.units import mdeg_from_text, text_from_mdeg

UNITS = pint.UnitRegistry()


@pytest.mark.parametrize("degrees", range(-19, 20, 3))
@pytest.mark.parametrize("minutes", [0.0, 7.5, 20.0, 59.9])
def test_degrees_and_minutes_against_pint(degrees, minutes):
    sign = -1 if degrees < 0 else 1
    exact = abs(degrees) * UNITS.degree + minutes * UNITS.arcminute
    text = f"{'-' if degrees < 0 else ''}{abs(degrees)}°{minutes}'"
    assert mdeg_from_text(text, "deg-min") == pytest.approx(sign * 1000 * exact.to("degree").magnitude, abs=0.5 + 1e-9)


@pytest.mark.parametrize(("text", "inches"), [("1/16", 1 / 16), ("3/32", 3 / 32), ("1 1/8", 1.125), ("0.06", 0.06)])
@pytest.mark.parametrize("diameter_in", [15.0, 17.0, 28.6479])
def test_inches_against_pint(text, inches, diameter_in):
    length, diameter = ((value * UNITS.inch).to("millimeter") for value in (inches, diameter_in))
    exact = (math.asin((length / diameter).to("").magnitude) * UNITS.radian).to("degree").magnitude
    assert mdeg_from_text(text, "inch", diameter.magnitude) == pytest.approx(1000 * exact, abs=0.5 + 1e-9)


# Diameter mm, angle mdeg, length mm: D sin(angle), COMPUTED.
LENGTHS = [
    (381.0, 100, 0.664970),
    (406.4, 100, 0.709301),
    (431.8, 100, 0.753633),
    (650.0, 100, 1.134463),
    (381.0, 250, 1.662421),
    (650.0, 250, 2.836151),
    (381.0, 1000, 6.649367),
    (406.4, 1000, 7.092658),
    (431.8, 1000, 7.535949),
    (650.0, 1000, 11.344064),
]


@pytest.mark.parametrize(("diameter_mm", "mdeg", "length_mm"), LENGTHS)
def test_toe_as_a_length(diameter_mm, mdeg, length_mm):
    assert mdeg_from_text(f"{length_mm}", "mm", diameter_mm) == mdeg
    assert float(text_from_mdeg(mdeg, "mm", diameter_mm)) == pytest.approx(length_mm, abs=0.005 + 1e-9)


# Typed length, unit, diameter mm, degrees; COMPUTED.
INVERSE = [
    ("1", "mm", 381.0, 0.150383),
    ("1", "mm", 400.0, 0.143240),
    ("2", "mm", 406.4, 0.281969),
    ("3", "mm", 650.0, 0.264443),
    ("1/16", "inch", 28.6479 * 25.4, 0.125),
]


@pytest.mark.parametrize(("text", "unit", "diameter_mm", "degrees"), INVERSE)
def test_a_length_as_toe(text, unit, diameter_mm, degrees):
    assert mdeg_from_text(text, unit, diameter_mm) == round(1000 * degrees)


# Left toe, right toe, total, thrust to the right, degrees; COMPUTED. The magnitude |left - right| / 2 is geometry; the
# sign is ours, because makers differ. Total toe is the sum: ISO 8855:2011 7.1.7, READ-2.
AXLES = [
    (0.25, 0.25, 0.5, 0.0),
    (0.25, 5 / 60, 0.333333, 0.083333),
    (0.25, -5 / 60, 0.166667, 0.166667),
    (-0.1, 0.3, 0.2, -0.2),
]


@pytest.mark.parametrize(("left", "right", "total", "thrust"), AXLES)
def test_total_toe_and_thrust(left, right, total, thrust):
    nothing = {"camber": None, "toe": None, "aim": None}
    toes = {"left": left, "right": right}
    plans = choose(
        {
            "ring_sets": [],
            "wheels": {side: {"camber": 0, "toe": round(1000 * toe), "rings": "auto"} for side, toe in toes.items()},
            "windows": {"left": nothing, "right": nothing},
            "axle": {"total_toe": None, "thrust": None, "cross_camber": None},
        }
    )["plans"]
    assert plans[0]["axle"]["total_toe"] == pytest.approx(1000 * total, abs=1)
    assert plans[0]["axle"]["thrust"] == pytest.approx(1000 * thrust, abs=1)
