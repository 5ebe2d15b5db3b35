"""The chance that every window holds after fitting. It never decides alone: choose.py only orders by it.

The order of the four angles is (left camber, left toe, right camber, right toe) throughout, in mdeg.
"""

import math
from dataclasses import dataclass

import numpy as np

from calc.choose.choose_input import Request, Spread
from calc.choose.normal_points import POINTS, normal_points
from calc.numbers.sides import SIDES
from calc.rings.fitting_spread import fitting_covariance
from calc.rings.rings import RingSet
from calc.rings.tilt import placed_pair


@dataclass(frozen=True)
class Fitted:
    """The rings of one wheel: ring set, index pair, and the effect (camber, toe) in mdeg."""

    ring_set: RingSet
    i: int
    j: int
    effect: tuple[int, int]


def chance_count(request: Request, predicted: dict[str, tuple[int, int]], fitted: dict[str, Fitted | None]) -> int:
    """Return how many of the POINTS equally likely results have every window of wheels and axle inside.

    `predicted` is (camber, toe) per side. The points are fixed, so equal questions get equal answers.
    """
    factor = lower_factor(covariance(request.spread, fitted))
    middle = np.array([*predicted["left"], *predicted["right"]], dtype=np.float64)
    left_camber, left_toe, right_camber, right_toe = (middle + normal_points() @ factor.T).T
    wheels, axle = request.wheels, request.axle
    checks = (
        (left_camber, wheels["left"].camber_window),
        (left_toe, wheels["left"].toe_window),
        (right_camber, wheels["right"].camber_window),
        (right_toe, wheels["right"].toe_window),
        (left_toe + right_toe, axle.total_toe),
        ((left_toe - right_toe) / 2, axle.thrust),
        (left_camber - right_camber, axle.cross_camber),
    )
    inside = np.full(POINTS, True)
    for angle, window in checks:
        if window is not None:
            inside &= (window[0] <= angle) & (angle <= window[1])
    return int(np.count_nonzero(inside))


def covariance(spread: Spread, fitted: dict[str, Fitted | None]) -> np.ndarray:
    """Return the (4, 4) covariance of the result about its prediction, mdeg^2."""
    total = np.zeros((4, 4))
    for place, side in enumerate(SIDES):
        block = slice(2 * place, 2 * place + 2)
        total[block, block] = np.diag([spread.camber_sd[side] ** 2, spread.toe_sd[side] ** 2])
        if fitted[side] is not None:
            total[block, block] += ring_covariance(spread, fitted[side])
    thrust = spread.thrust_sd**2
    total[1, 1] += thrust
    total[3, 3] += thrust
    total[1, 3] -= thrust
    total[3, 1] -= thrust
    return total


def ring_covariance(spread: Spread, fitted: Fitted) -> np.ndarray:
    """Return what fitting rings adds to a wheel's (2, 2) covariance: clock, marks, tapers, seat. mdeg^2."""
    rings = placed_pair(fitted.ring_set, (fitted.i, fitted.j))
    cc, ct, tt = fitting_covariance(fitted.effect, rings, spread.clock_sd_deg, spread.mark_sd_steps, spread.seat_sd)
    return np.array([[cc, ct], [ct, tt]])


def lower_factor(matrix: np.ndarray) -> np.ndarray:
    """Return the lower-triangular L with L L' = matrix, for a (n, n) symmetric matrix without negative directions.

    A pivot that is not above 0 gives a column of zeros: that direction has no spread of its own.

    >>> lower_factor(np.array([[4.0, 2.0], [2.0, 1.0]])).tolist()
    [[2.0, 0.0], [1.0, 0.0]]
    """
    size = len(matrix)
    factor = np.zeros((size, size))
    for column in range(size):
        pivot = matrix[column, column] - factor[column, :column] @ factor[column, :column]
        if pivot > 0:
            factor[column, column] = math.sqrt(pivot)
            rest = matrix[column + 1 :, column] - factor[column + 1 :, :column] @ factor[column, :column]
            factor[column + 1 :, column] = rest / factor[column, column]
    return factor
