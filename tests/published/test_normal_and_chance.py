"""Normal quantiles and the chance that all windows hold, against tables, scipy and a large Monte Carlo."""

import numpy as np
import pytest
from scipy import stats

from calc.choose.chance import Fitted, chance_count, covariance
from calc.choose.choose import choose
from calc.choose.choose_input import request_from_json
from calc.choose.normal_points import POINTS, inverse_normal
from calc.rings.rings import RingSet
from fixtures.golden.choose_cases import RING_SETS, Cases

CHANCE_TOLERANCE = 0.01
SETS = {obj["id"]: obj for obj in RING_SETS}

# z, P(Z < z), half of the last printed digit.
NORMAL_TABLE = [
    (-3.0, 0.00135, 5e-6),  # math.com/tables/stat/distributions/z-dist.htm, READ (WEB), and the four below
    (-2.9, 0.00187, 5e-6),
    (-2.5, 0.00621, 5e-6),
    (-2.4, 0.0082, 5e-6),
    (-2.3, 0.01072, 5e-6),
    (0.10, 0.5398, 5e-5),  # Rosner, table 3 (vi.scribd.com/document/318922188), READ, and the three below
    (0.25, 0.5987, 5e-5),
    (0.31, 0.6217, 5e-5),
    (0.63, 0.7357, 5e-5),
    (0.5, 0.691462461274, 1e-12),  # erfc, COMPUTED, and the three below
    (1.0, 0.841344746069, 1e-12),
    (2.0, 0.977249868052, 1e-12),
    (3.0, 0.998650101968, 1e-12),
]


@pytest.mark.parametrize(("z", "probability", "printed_to"), NORMAL_TABLE)
def test_quantiles_against_printed_tables(z, probability, printed_to):
    low, high = inverse_normal([probability - printed_to, probability + printed_to])
    assert low <= z <= high


def test_quantiles_against_scipy():
    """AS 241 claims about 1 part in 10^16 (its abstract, RECALLED); a few roundings are allowed on top."""
    tails = 10.0 ** -np.linspace(1, 300, 500)
    for probability in (np.linspace(0.001, 0.999, 999), tails, 1 - tails[tails > 1e-15]):
        np.testing.assert_allclose(inverse_normal(probability), stats.norm.ppf(probability), rtol=4e-15, atol=1e-15)


def case_with_rings(axle: dict, **changes) -> tuple:
    """A request, the both-wheels plan's prediction and what is fitted, for unlike rings and wide spreads."""
    case = {**Cases().plain([]), "ring_sets": [SETS["sixty-six"]], "axle": axle, **changes}
    case["wheels"] = {
        "left": {"camber": -1840, "toe": 420, "rings": "yes"},
        "right": {"camber": -420, "toe": -160, "rings": "yes"},
    }
    (plan,) = choose(case)["plans"]
    ring_set = RingSet.from_json(SETS["sixty-six"])
    fitted = {side: Fitted(ring_set, *plan[side]["pair"], tuple(plan[side]["effect"])) for side in ("left", "right")}
    return request_from_json(case), {side: tuple(plan["predicted"][side]) for side in fitted}, fitted


SPREADS = [
    {},
    {"clock_sd_deg": 5.0, "thrust_sd": 60},
    {"camber_sd": {"left": 200, "right": 300}, "toe_sd": {"left": 90, "right": 20}},
]


@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("off", [(0, 0), (400, 60), (-450, -90)])
def test_wheel_windows_against_scipy_multivariate_normal(spread, off):
    """Without axle windows the inside is a box in the four angles, which scipy integrates (Genz)."""
    none = {"total_toe": None, "thrust": None, "cross_camber": None}
    request, predicted, fitted = case_with_rings(none, spread=spread)
    predicted["left"] = (predicted["left"][0] + off[0], predicted["left"][1] + off[1])
    low, high = np.array([-1500, 0] * 2), np.array([-500, 200] * 2)
    expected = stats.multivariate_normal(
        [*predicted["left"], *predicted["right"]], covariance(request.spread, fitted), seed=3
    ).cdf(high, lower_limit=low)
    assert chance_count(request, predicted, fitted) / POINTS == pytest.approx(expected, abs=CHANCE_TOLERANCE)


@pytest.mark.parametrize("spread", SPREADS)
def test_wheels_alone_against_scipy_where_they_decouple(spread):
    """With no thrust spread the wheels are independent: the chance is the product of two plane ones."""
    none = {"total_toe": None, "thrust": None, "cross_camber": None}
    request, predicted, fitted = case_with_rings(none, spread={**spread, "thrust_sd": 0})
    matrix, expected = covariance(request.spread, fitted), 1.0
    for place, side in enumerate(("left", "right")):
        block = matrix[2 * place : 2 * place + 2, 2 * place : 2 * place + 2]
        expected *= stats.multivariate_normal(predicted[side], block).cdf([-500, 200], lower_limit=[-1500, 0])
    assert chance_count(request, predicted, fitted) / POINTS == pytest.approx(expected, abs=CHANCE_TOLERANCE)


AXLES = [
    {"total_toe": [50, 350], "thrust": [-100, 100], "cross_camber": [-500, 500]},
    {"total_toe": [150, 250], "thrust": [-40, 30], "cross_camber": [-120, 60]},
    {"total_toe": None, "thrust": [-20, 20], "cross_camber": None},
]


@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("axle", AXLES)
def test_axle_windows_against_a_large_monte_carlo(spread, axle):
    """A million pseudo-random results by numpy's own multivariate normal. COMPUTED."""
    request, predicted, fitted = case_with_rings(axle, spread=spread)
    sample = np.random.default_rng(17).multivariate_normal(
        [*predicted["left"], *predicted["right"]], covariance(request.spread, fitted), 1_000_000
    )
    left_camber, left_toe, right_camber, right_toe = sample.T
    inside = np.full(len(sample), True)
    for angle, window in (
        (left_camber, [-1500, -500]),
        (right_camber, [-1500, -500]),
        (left_toe, [0, 200]),
        (right_toe, [0, 200]),
        (left_toe + right_toe, axle["total_toe"]),
        ((left_toe - right_toe) / 2, axle["thrust"]),
        (left_camber - right_camber, axle["cross_camber"]),
    ):
        if window is not None:
            inside &= (angle >= window[0]) & (angle <= window[1])
    assert chance_count(request, predicted, fitted) / POINTS == pytest.approx(inside.mean(), abs=CHANCE_TOLERANCE)
