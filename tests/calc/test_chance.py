"""The chance that all windows hold: its covariance, its factor, its points, its limits."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.choose.chance import Fitted, chance_count, covariance, lower_factor, ring_covariance
from calc.choose.choose_input import request_from_json, spread_from_json
from calc.choose.normal_points import POINTS, inverse_normal, normal_points, radical_inverse
from calc.rings.rings import RingSet, effect_of_pair, thick_point_clock
from fixtures.golden.choose_cases import Cases, ring, ring_set

UNLIKE = RingSet.from_json(ring_set("unlike", ring(40, 620, 3.5, sd=9), ring(54, 480, 17.0, "counterclockwise", sd=14)))
SPREAD = spread_from_json({}, "spread")


def fitted(i=7, j=31) -> Fitted:
    camber, toe = np.rint(np.degrees(effect_of_pair(UNLIKE, i, j)) * 1000)
    return Fitted(UNLIKE, i, j, (int(camber), int(toe)))


def test_ring_covariance_is_what_a_simulated_fitting_scatters():
    """Turn, mark, taper and seat each rings pair at random, as a workshop does, and look at what comes out."""
    random, count, one = np.random.default_rng(5), 400_000, fitted()
    clock = random.normal(0, math.radians(SPREAD.clock_sd_deg), count)
    camber, toe = random.normal(0, SPREAD.seat_sd, (2, count))
    for each, mark in ((UNLIKE.inner, one.i), (UNLIKE.outer, one.j)):
        phi = thick_point_clock(each, mark) + clock
        phi = phi + random.normal(0, SPREAD.mark_sd_steps * each.step_rad, count)
        taper = random.normal(each.taper_mdeg, each.taper_sd_mdeg, count)
        camber, toe = camber + taper * np.cos(phi), toe + taper * np.sin(phi)
    np.testing.assert_allclose(ring_covariance(SPREAD, one), np.cov(camber, toe), rtol=0.03, atol=15.0)


def test_readings_and_thrust_alone_where_no_rings_are_fitted():
    expected = np.diag([50.0**2, 30.0**2, 50.0**2, 30.0**2])
    expected[1, 1] += 15.0**2
    expected[3, 3] += 15.0**2
    expected[1, 3] = expected[3, 1] = -(15.0**2)
    np.testing.assert_allclose(covariance(SPREAD, {"left": None, "right": None}), expected)


@given(st.lists(st.floats(-100, 100), min_size=16, max_size=16), st.integers(1, 4))
def test_factor_of_any_rank(values, rank):
    root = np.array(values).reshape(4, 4)[:, :rank]
    matrix = root @ root.T
    factor = lower_factor(matrix)
    assert np.isfinite(factor).all()
    assert (np.triu(factor, 1) == 0).all()


def test_factor_multiplies_back_where_all_directions_spread():
    matrix = covariance(SPREAD, {"left": fitted(), "right": fitted(3, 3)})
    factor = lower_factor(matrix)
    np.testing.assert_allclose(factor @ factor.T, matrix, rtol=1e-12)
    np.testing.assert_allclose(factor, np.linalg.cholesky(matrix), rtol=1e-12)


def test_points_are_halton_points_of_the_normal():
    assert radical_inverse(6, 3).tolist() == pytest.approx([1 / 3, 2 / 3, 1 / 9, 4 / 9, 7 / 9, 2 / 9])
    points = normal_points()
    assert points.shape == (POINTS, 4)
    np.testing.assert_allclose(points.mean(0), 0.0, atol=0.01)
    np.testing.assert_allclose(np.cov(points.T), np.eye(4), atol=0.02)


def test_inverse_normal_at_its_ends():
    with np.errstate(all="raise"):
        low, half, high, outside = inverse_normal([0.0, 0.5, 1.0, 1.5])
    assert (low, half, high) == (-np.inf, 0.0, np.inf)
    assert np.isnan(outside)


def test_no_window_is_certain_and_a_window_far_off_is_hopeless():
    case = {**Cases().plain([]), "ring_sets": []}
    none = {"left": None, "right": None}
    middle = {"left": (-1000, 100), "right": (-1000, 100)}
    assert 0 < chance_count(request_from_json(case), middle, none) < POINTS
    assert chance_count(request_from_json(case), {**middle, "left": (9000, 100)}, none) == 0
    case["windows"] = {side: {"camber": None, "toe": None, "aim": None} for side in ("left", "right")}
    case["axle"] = dict.fromkeys(case["axle"])
    assert chance_count(request_from_json(case), middle, none) == POINTS


def test_without_any_spread_it_is_all_or_nothing():
    case = {**Cases().plain([]), "ring_sets": []}
    zero = {"left": 0, "right": 0}
    case["spread"] = {"camber_sd": zero, "toe_sd": zero, "thrust_sd": 0}
    none = {"left": None, "right": None}
    on_the_edge = {"left": (-1500, 200), "right": (-1500, 0)}  # thrust is 100: on its edge too
    assert chance_count(request_from_json(case), on_the_edge, none) == POINTS
    assert chance_count(request_from_json(case), {**on_the_edge, "right": (-1500, -1)}, none) == 0
