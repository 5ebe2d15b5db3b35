"""The exactly composed prediction, against a rotation library and against the limits that adding is held to."""

import math
from itertools import product

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from calc.rings.composed import (
    ADDING_CAMBER_MDEG,
    ADDING_TAPER_MDEG,
    ADDING_TOE_MDEG,
    adding_holds,
    composed_prediction,
)
from calc.rings.rings import RingSet, effect_of_pair, normal_of_pair
from fixtures.golden.choose_cases import RING_SETS, ring, ring_set

ADDING_ERRS_MDEG = 5
STEEPEST = RingSet.from_json(ring_set("x", ring(24, ADDING_TAPER_MDEG, thickness=10.0)))


@pytest.mark.parametrize("base", [(-1640, 420), (-7000, -2500), (3000, 1000), (0, 0)])
def test_flange_is_yawed_by_its_toe_and_then_leans_by_its_camber(base):
    # scipy's Rotation composes it in two turns: about the vertical, then about the flange's level axis.
    both = RingSet.from_json(RING_SETS[-1])
    camber, toe = (math.radians(angle / 1000) for angle in base)
    lean = math.atan(math.tan(camber) * math.cos(toe))  # camber is the lean seen from the front
    flange = Rotation.from_rotvec([0, 0, -toe]) * Rotation.from_rotvec([-lean, 0, 0])
    for pair in ((1, 1), (7, 30), (72, 50)):
        x, o, z = flange.apply(normal_of_pair(both, *pair))
        wanted = np.degrees([math.atan2(-z, o), math.atan2(x, o)]) * 1000
        assert composed_prediction(both, pair, base) == pytest.approx(wanted, abs=1e-6)


def test_adding_errs_by_less_than_its_limit_where_it_is_said_to_hold():
    bases = product((-ADDING_CAMBER_MDEG, 0, ADDING_CAMBER_MDEG), (-ADDING_TOE_MDEG, 0, ADDING_TOE_MDEG))
    worst = 0.0
    for base, i, j in product(bases, range(1, 25), range(1, 25)):
        added = np.degrees(effect_of_pair(STEEPEST, i, j)) * 1000 + base
        worst = max(worst, np.abs(composed_prediction(STEEPEST, (i, j), base) - added).max())
    assert ADDING_ERRS_MDEG / 2 < worst < ADDING_ERRS_MDEG


def test_adding_holds_up_to_each_limit_and_no_further():
    assert adding_holds(STEEPEST, (-ADDING_CAMBER_MDEG, ADDING_TOE_MDEG))
    assert not adding_holds(STEEPEST, (-ADDING_CAMBER_MDEG - 1, 0))
    assert not adding_holds(STEEPEST, (0, ADDING_TOE_MDEG + 1))
    steeper = RingSet.from_json(ring_set("x", ring(24, ADDING_TAPER_MDEG), ring(24, ADDING_TAPER_MDEG + 1)))
    assert not adding_holds(steeper, (0, 0))
