"""Typed text to whole mdeg and back."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.numbers.errors import InputError
from calc.numbers.units import (
    UNITS,
    mdeg_from_radians,
    mdeg_from_text,
    radians_from_mdeg,
    round_half_away,
    text_from_mdeg,
)

# Half of the last shown digit at 381 mm and 20 degrees, and half a mdeg for reading it.
SHOWN_WITHIN_MDEG = {"deg": 0, "deg-min": 8.9, "mm": 1.3, "inch": 2.6}
DIAMETER_MM = {"deg": None, "deg-min": None, "mm": 381.0, "inch": 381.0}


@given(st.integers(-20_000, 20_000), st.sampled_from(UNITS))
def test_what_is_shown_reads_back_to_within_what_it_shows(mdeg, unit):
    text = text_from_mdeg(mdeg, unit, DIAMETER_MM[unit])
    assert abs(mdeg_from_text(text, unit, DIAMETER_MM[unit]) - mdeg) <= SHOWN_WITHIN_MDEG[unit]


@given(st.decimals(-20, 20, places=6))
def test_decimal_degrees_are_read_exactly(degrees):
    exact = Fraction(degrees) * 1000
    expected = int(abs(exact) + Fraction(1, 2)) * (1 if exact >= 0 else -1)
    for text in (f"{degrees:f}", f"{degrees:f}".replace(".", ",").replace("-", "−")):
        assert mdeg_from_text(text, "deg") == expected


@given(st.text("0123456789.,-−+°'\"/ in", max_size=9) | st.text(max_size=12), st.sampled_from(UNITS))
def test_any_text_is_read_or_refused(text, unit):
    try:
        mdeg = mdeg_from_text(text, unit, 381.0)
    except InputError:
        return
    assert abs(mdeg) <= 20_000


def test_refusals_name_field_and_what_was_expected():
    with pytest.raises(InputError, match=r"window\.low: expected degrees such as 0\.33, got 'abc'"):
        mdeg_from_text("abc", "deg", field="window.low")
    with pytest.raises(InputError, match=r"text\.diameter_mm: expected the diameter that the length is measured at"):
        mdeg_from_text("2.5", "mm")
    with pytest.raises(InputError, match=r"text\.unit: expected one of deg, deg-min, mm, inch, got 'rad'"):
        mdeg_from_text("1", "rad")
    with pytest.raises(InputError, match="a length below the diameter of 381 mm"):
        mdeg_from_text("400", "mm", 381)


def test_halves_round_away_from_zero_where_floats_would_slip():
    assert mdeg_from_text("1.0005", "deg") == 1001  # 1.0005 * 1000 is 1000.4999999999999 in doubles
    assert round_half_away(Fraction(-5, 2)) == -3


def test_radians_keep_shape_and_come_back():
    angles = np.array([[0.0, 1.5], [-90_000.0, 180_000.0]])
    back = mdeg_from_radians(radians_from_mdeg(angles))
    assert back.shape == (2, 2)
    np.testing.assert_allclose(back, angles, rtol=1e-15)
    assert np.isnan(radians_from_mdeg(np.nan))
