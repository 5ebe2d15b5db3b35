"""The exactly composed prediction: a ring pair on a flange that already leans. Choosing adds instead.

The reference for what the phone shows where adding is no longer good enough (domain/rings), by way of the golden
cases; no verb of calc reaches it. Must not be used to choose.
"""

import math

import numpy as np

from calc.numbers.units import mdeg_from_radians, radians_from_mdeg
from calc.rings.rings import RingSet, effect_of_normal, normal_of_pair

# Within these, adding errs by less than 5 mdeg: each taper, base camber and base toe, either way (tested).
ADDING_TAPER_MDEG = 1000
ADDING_CAMBER_MDEG = 3000
ADDING_TOE_MDEG = 1000

_UP = np.array([0.0, 0.0, 1.0])


def adding_holds(ring_set: RingSet, base: tuple[int, int]) -> bool:
    """Return whether base + effect errs by less than 5 mdeg for a base reading (camber, toe) in mdeg."""
    tapers = ring_set.inner.taper_mdeg, ring_set.outer.taper_mdeg
    return max(tapers) <= ADDING_TAPER_MDEG and abs(base[0]) <= ADDING_CAMBER_MDEG and abs(base[1]) <= ADDING_TOE_MDEG


def composed_prediction(ring_set: RingSet, pair: tuple[int, int], base: tuple[int, int]) -> tuple[float, float]:
    """Return the reading (camber, toe) in mdeg, not rounded, of a pair on a flange that reads `base` (camber, toe).

    The pair's clock is the flange's own: its top, where the mark is painted, is the highest place of its face.

    >>> from calc.rings.rings import Ring
    >>> ring = Ring(4, 1, "clockwise", "inboard", 500, 8, 1.0, 2.4, 148.0, 62.0)
    >>> both = RingSet("x", "X", 1, None, ring, ring)
    >>> [round(angle, 3) for angle in composed_prediction(both, (1, 2), (-4000, 1500))]
    [-3499.031, 999.066]
    """
    camber_rad, toe_rad = (float(radians_from_mdeg(angle)) for angle in base)
    outboard = _unit(np.array([math.tan(toe_rad), 1.0, -math.tan(camber_rad)]))
    forward = _unit(np.cross(outboard, _UP))
    axes = np.stack([forward, outboard, np.cross(forward, outboard)])
    camber, toe = effect_of_normal(normal_of_pair(ring_set, *pair) @ axes)
    return float(mdeg_from_radians(camber)), float(mdeg_from_radians(toe))


def _unit(vector: np.ndarray) -> np.ndarray:
    return vector / np.linalg.norm(vector)
