"""Intervals against worked examples that others have published."""

import pytest

from calc.numbers.intervals import sd_interval, t_beyond

# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2, data ZARR13.DAT: as the handbook's own R script prints it.
ZARR13 = {"count": 195, "mean": 9.26146, "sd_of_mean": 0.00163, "t": 1.972268, "half": 0.003219, "low": 9.258242}
# Same handbook, 1.3.5.8 (GEAR.DAT) and 7.2.3 (silicon wafers), as Boost.Math's example chi_square_std_dev_test prints
# them: observations, standard deviation, 95 % limits.
DEVIATIONS = [(100, 0.006278908, 0.00551, 0.00729), (10, 13.97, 9.60906, 25.50377)]
# The same example's multipliers of the standard deviation for 95 %, by observations.
MULTIPLIERS = [
    (2, 0.4461, 31.9102),
    (3, 0.5207, 6.2847),
    (10, 0.6878, 1.8256),
    (30, 0.7964, 1.3443),
    (1000, 0.9580, 1.0459),
]


def test_the_mean_of_zarr13():
    t = t_beyond(0.05, ZARR13["count"] - 1)
    assert t == pytest.approx(ZARR13["t"], abs=5e-7)
    assert t * ZARR13["sd_of_mean"] == pytest.approx(ZARR13["half"], abs=1e-5)  # the printed SD has three digits
    assert ZARR13["mean"] - ZARR13["half"] == pytest.approx(ZARR13["low"], abs=2e-6)


@pytest.mark.parametrize(("count", "sd", "low", "high"), DEVIATIONS)
def test_a_standard_deviation_and_its_limits(count, sd, low, high):
    found = sd_interval(sd * sd * (count - 1), count - 1)
    assert found == pytest.approx((sd, low, high), abs=5e-6)


@pytest.mark.parametrize(("count", "low", "high"), MULTIPLIERS)
def test_multipliers_of_a_standard_deviation(count, low, high):
    assert sd_interval(count - 1.0, count - 1)[1:] == pytest.approx((low, high), abs=5.1e-5)
