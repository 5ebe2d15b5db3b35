"""How far a joint result of both wheels is outside the windows, for single results and, as lower bounds, for boxes.

A result is ordered by (toe_steps, camber_steps, 0 if nothing is outside else 1, distance); the first three are packed
into one whole number, the grade; the distance is wheel_aim.py's. Angles are whole mdeg; toe is counted in halves,
because thrust is.
"""

from dataclasses import dataclass

import numpy as np

from calc.choose.choose_input import Request

_STEPS = 1 << 24  # above any count of steps: at most some 300,000 mdeg outside, in bands of 1 mdeg


@dataclass(frozen=True)
class Term:
    """One window on `left * (left wheel) + right * (right wheel)`; every mdeg outside it counts `weight`."""

    left: int
    right: int
    low: int
    high: int
    weight: int


def toe_terms(request: Request) -> list[Term]:
    """Return the toe windows that are given, in HALF mdeg: thrust = (left - right) / 2."""
    left, right, axle = request.wheels["left"], request.wheels["right"], request.axle
    rows = [(1, 0, left.toe_window, 2), (0, 1, right.toe_window, 2), (1, 1, axle.total_toe, 2)]
    thrust = axle.thrust and (2 * axle.thrust[0], 2 * axle.thrust[1])
    return _terms([*rows, (1, -1, thrust, 1)])


def camber_terms(request: Request) -> list[Term]:
    """Return the camber windows that are given, in mdeg."""
    left, right = request.wheels["left"].camber_window, request.wheels["right"].camber_window
    return _terms([(1, 0, left, 1), (0, 1, right, 1), (1, -1, request.axle.cross_camber, 1)])


def _terms(rows) -> list[Term]:
    return [Term(left, right, *window, weight) for left, right, window, weight in rows if window is not None]


def outside(terms: list[Term], left_low, left_high, right_low, right_high):
    """Return a lower bound, int64, of how far a box of joint results is outside all windows; exact where low is high.

    The sum over the windows is convex and piecewise linear in (left, right). The larger of two bounds is taken: every
    window met as well as the box allows, each by itself; and the tangent plane at the middle of the box, which is
    exact wherever windows pull against each other but the sum is linear. Worked in doubled values, as a middle may
    end in .5.
    """
    middle_left, middle_right = left_low + left_high, right_low + right_high
    apart, tangent, slope_left, slope_right = 0, 0, 0, 0
    for term in terms:
        ends = (right_low, right_high) if term.right >= 0 else (right_high, right_low)
        low = term.left * left_low + term.right * ends[0]
        high = term.left * left_high + term.right * ends[1]
        apart = apart + term.weight * np.maximum(0, np.maximum(term.low - high, low - term.high))
        middle = term.left * middle_left + term.right * middle_right
        below, above = 2 * term.low - middle, middle - 2 * term.high
        tangent = tangent + term.weight * np.maximum(0, np.maximum(below, above))
        slope = term.weight * (np.sign(np.maximum(0, above)) - np.sign(np.maximum(0, below)))
        slope_left, slope_right = slope_left + term.left * slope, slope_right + term.right * slope
    spans = abs(slope_left) * (left_high - left_low) + abs(slope_right) * (right_high - right_low)
    return np.maximum(apart, -((spans - tangent) // 2))


def grade_of(toe_outside_halves, camber_outside, request: Request, is_camber_first: bool = False):
    """Return (toe_steps, camber_steps, flag), camber first if asked, as one int64 that orders like the three."""
    toe_steps = toe_outside_halves // (2 * request.band_toe)
    camber_steps = camber_outside // request.band_camber
    first, second = (camber_steps, toe_steps) if is_camber_first else (toe_steps, camber_steps)
    is_outside = (toe_outside_halves > 0) | (camber_outside > 0)
    return (first * _STEPS + second) * 2 + is_outside
