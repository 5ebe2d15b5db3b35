"""Intervals of means and standard deviations against scipy, and how often they hold what they claim to hold."""

import numpy as np
import pytest
from scipy import stats

from calc.numbers.errors import InputError
from calc.numbers.intervals import chi2_beyond, mean_interval, sd_interval, t_beyond
from calc.numbers.tail_chances import chi2_upper

DOFS = (1, 2, 3, 4, 7, 10, 29, 100, 333, 2001)
CLOSE = 1e-9  # relative


@pytest.mark.parametrize("dof", DOFS)
@pytest.mark.parametrize("share", [0.975, 0.5, 0.05, 0.025, 1e-4])
def test_quantiles_are_scipys(dof, share):
    assert chi2_beyond(share, dof) == pytest.approx(stats.chi2.isf(share, dof), rel=CLOSE)
    if share < 0.5:
        assert t_beyond(share, dof) == pytest.approx(stats.t.isf(share / 2, dof), rel=CLOSE)


@pytest.mark.parametrize("dof", DOFS)
def test_the_upper_share_of_chi_square_is_scipys(dof):
    for x in (0.0, 1e-3, dof / 3, dof, 2 * dof + 10, 6 * dof + 50):
        assert chi2_upper(x, dof) == pytest.approx(stats.chi2.sf(x, dof), rel=1e-9, abs=1e-14)


def test_the_interval_of_a_mean_is_scipys():
    values = [330.0, 350.0, 340.0, 290.0, 333.0]
    mean, low, high = mean_interval(values)
    expected = stats.t.interval(0.95, 4, loc=np.mean(values), scale=stats.sem(values))
    assert (mean, low, high) == pytest.approx((np.mean(values), *expected), rel=CLOSE)


def test_one_value_has_no_interval_and_none_is_refused():
    assert mean_interval([3.0]) == (3.0, None, None)
    assert mean_interval([2.0, 2.0]) == (2.0, 2.0, 2.0)
    with pytest.raises(InputError, match="values"):
        mean_interval([])


@pytest.mark.full
def test_intervals_hold_the_truth_19_times_in_20():
    """2,000 samples of six from a normal: 95 % within three standard errors of the count, 1.5 %."""
    samples = np.random.default_rng(8).normal(5.0, 2.0, (2000, 6))
    means = [mean_interval(sample) for sample in samples]
    sds = [sd_interval(float(np.sum((sample - sample.mean()) ** 2)), 5) for sample in samples]
    assert np.mean([low <= 5.0 <= high for _, low, high in means]) == pytest.approx(0.95, abs=0.015)
    assert np.mean([low <= 2.0 <= high for _, low, high in sds]) == pytest.approx(0.95, abs=0.015)
