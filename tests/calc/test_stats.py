"""The spread of the mean of repeated readings."""

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.numbers.errors import InputError
from calc.numbers.stats import mean_of_readings, sd_of_mean

READINGS = st.lists(st.integers(-5000, 5000), min_size=1, max_size=30)


@given(READINGS, st.floats(0, 200))
def test_against_the_formula_written_from_the_sample_variance(readings, sd0):
    count = len(readings)
    squares = statistics.variance(readings) * (count - 1) if count > 1 else 0.0
    expected = math.sqrt((4 * sd0**2 + squares) / (count + 3) / count)
    assert sd_of_mean(readings, sd0) == pytest.approx(expected, rel=1e-9, abs=1e-9)


@given(st.floats(0, 200))
def test_one_reading_gives_the_default(sd0):
    assert sd_of_mean([330], sd0) == pytest.approx(sd0)


def test_many_readings_speak_for_themselves():
    readings = [100 + 10 * (-1) ** k for k in range(1000)]
    assert sd_of_mean(readings, 500.0) == pytest.approx(10 / math.sqrt(1000), rel=5.0)
    assert sd_of_mean(readings * 10, 30.0) == pytest.approx(10 / math.sqrt(10_000), rel=0.01)


@given(READINGS)
def test_mean(readings):
    assert mean_of_readings(readings) == pytest.approx(statistics.fmean(readings))


@pytest.mark.parametrize("readings", [[], [1, None], [1, float("nan")], "12", [True]])
def test_bad_readings_are_refused(readings):
    with pytest.raises(InputError, match="readings"):
        sd_of_mean(readings, 30.0)
