"""The exact table against two rotation libraries: scipy.spatial.transform.Rotation and pytransform3d.

They check the composition, not the sign: that stands in test_sign_of_the_solid.py. Marks: COMPUTED by the library.
"""

import math

import numpy as np
import pytest
from pytransform3d.rotations import matrix_from_axis_angle as pytransform3d_matrix
from scipy.spatial.transform import Rotation

from calc.rings.rings import RingSet, effect_of_pair, thick_point_clock
from calc.rings.rotation import matrix_from_axis_angle
from calc.rings.table import table_of
from fixtures.golden.make_rings import ALL_SETS

SAME_ANGLE_DEG = 1e-10
IDS = [obj["id"] for obj in ALL_SETS]


def axis_of(ring, mark) -> np.ndarray:
    """The axis d x outboard in (forward, outboard, up), worked out by hand: d = (-sin, 0, cos) of the clock."""
    clock = float(thick_point_clock(ring, mark))
    return np.array([-math.cos(clock), 0.0, -math.sin(clock)])


def angles_of(normal) -> tuple[float, float]:
    forward, outboard, up = normal
    return math.degrees(math.atan2(-up, outboard)), math.degrees(math.atan2(forward, outboard))


def scipy_angles(both: RingSet, i: int, j: int) -> tuple[float, float]:
    turns = [
        Rotation.from_rotvec(math.radians(ring.taper_mdeg / 1000) * axis_of(ring, mark))
        for ring, mark in ((both.inner, i), (both.outer, j))
    ]
    return angles_of((turns[0] * turns[1]).apply([0.0, 1.0, 0.0]))


def pytransform3d_angles(both: RingSet, i: int, j: int) -> tuple[float, float]:
    inner, outer = (
        pytransform3d_matrix([*axis_of(ring, mark), math.radians(ring.taper_mdeg / 1000)])
        for ring, mark in ((both.inner, i), (both.outer, j))
    )
    return angles_of(inner @ outer @ np.array([0.0, 1.0, 0.0]))


@pytest.mark.parametrize("obj", ALL_SETS, ids=IDS)
@pytest.mark.parametrize("library", [scipy_angles, pytransform3d_angles])
def test_effects_equal_the_library_on_a_spread_of_pairs(obj, library):
    both = RingSet.from_json(obj)
    for i in both.inner.mark_numbers[:: max(1, both.inner.marks // 7)]:
        for j in both.outer.mark_numbers[:: max(1, both.outer.marks // 7)]:
            ours = np.degrees(effect_of_pair(both, i, j))
            assert ours == pytest.approx(library(both, i, j), abs=SAME_ANGLE_DEG)


@pytest.mark.parametrize("obj", ALL_SETS, ids=IDS)
def test_every_row_of_the_table_equals_scipy(obj):
    """All pairs at once through scipy's own vectorised composition, rounded half to even."""
    both = RingSet.from_json(obj)
    table = table_of(both)
    i, j = np.divmod(np.arange(table["rows"] * table["columns"]), table["columns"])
    turns = [
        Rotation.from_rotvec(
            math.radians(ring.taper_mdeg / 1000) * np.array([axis_of(ring, mark + ring.first_mark) for mark in marks])
        )
        for ring, marks in ((both.inner, i), (both.outer, j))
    ]
    forward, outboard, up = (turns[0] * turns[1]).apply([0.0, 1.0, 0.0]).T
    camber, toe = (np.degrees(np.arctan2(side, outboard)) * 1000 for side in (-up, forward))
    assert np.abs(camber - table["camber"]).max() <= 0.5 + 1e-6
    assert np.abs(toe - table["toe"]).max() <= 0.5 + 1e-6
    clear = np.abs(camber % 1 - 0.5) > 1e-6  # where a library's last digit cannot decide the rounding
    assert np.array_equal(np.rint(camber[clear]), np.array(table["camber"])[clear])


def test_rodrigues_equals_both_libraries():
    random = np.random.default_rng(11)
    for _ in range(50):
        axis = random.normal(size=3)
        axis /= np.linalg.norm(axis)
        angle = random.uniform(-math.pi, math.pi)
        ours = matrix_from_axis_angle(axis, angle)
        np.testing.assert_allclose(ours, Rotation.from_rotvec(angle * axis).as_matrix(), atol=1e-14)
        np.testing.assert_allclose(ours, pytransform3d_matrix([*axis, angle]), atol=1e-14)
