"""The sign of every effect against the solid itself, in the vehicle's own axes (x forward, y left, z up).

A ring is a flat wedge: one face square, the other through points whose height over it is given by the thickness. The
marks are set out on the marked face by turning a pointer as a person would who looks at that face; nothing here comes
from calc but the answer under test. Source: the definitions of calc/README.md; ISO 8855 signs.
Mark: COMPUTED from the solid.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from calc.rings.rings import Ring, RingSet, effect_of_pair, mark_clock
from fixtures.golden.choose_cases import ring, ring_set

SAME_ANGLE_DEG = 1e-9
OUTBOARD = {"left": np.array([0.0, 1.0, 0.0]), "right": np.array([0.0, -1.0, 0.0])}
UP = np.array([0.0, 0.0, 1.0])
RADIUS_MM = 70.0
KINDS = list(itertools.product(("left", "right"), ("clockwise", "counterclockwise"), ("inboard", "outboard")))


def mark_direction(obj: dict, side: str, mark_at_top: float, mark: float) -> np.ndarray:
    """Where a mark sits, as a unit vector: from the top, turned as the numbers run, seen by who faces the marked face.

    Clockwise to somebody whom the face's normal points at is a negative turn about that normal.
    """
    looks_outboard = (obj["marked_face_right"] == "outboard") == (side == "right")
    normal = OUTBOARD[side] if looks_outboard else -OUTBOARD[side]
    steps = mark - mark_at_top if obj["direction"] == "clockwise" else mark_at_top - mark
    return Rotation.from_rotvec(-math.radians(steps * 360 / obj["marks"]) * normal).apply(UP)


def face_normal(base_normal: np.ndarray, thick: np.ndarray, taper_deg: float, centre_mm: float) -> np.ndarray:
    """The normal through three points of the outer face of a wedge that stands on a plane with `base_normal`."""
    across = np.cross(base_normal, thick)
    points = []
    for angle in (0.3, 2.5, 4.4):
        in_plane = RADIUS_MM * (math.cos(angle) * thick + math.sin(angle) * across)
        height = centre_mm + math.tan(math.radians(taper_deg)) * float(in_plane @ thick)
        points.append(in_plane + height * base_normal)
    normal = np.cross(points[1] - points[0], points[2] - points[0])
    normal /= np.linalg.norm(normal)
    return normal if normal @ base_normal > 0 else -normal


def camber_and_toe(normal: np.ndarray, side: str) -> list[float]:
    """Degrees: camber positive with the top outboard, toe positive with the front inboard.

    The wheel's top is where the hub plane cuts the upright plane of the axle, its front where it cuts the level plane;
    whoever measures sees how far these lean outboard.
    """
    top = np.cross(normal, [1.0, 0.0, 0.0])
    top = top if top[2] > 0 else -top
    front = np.cross(normal, UP)
    front = front if front[0] > 0 else -front
    outboard = OUTBOARD[side]
    return [
        math.degrees(math.atan2(top @ outboard, top[2])),
        math.degrees(math.atan2(-(front @ outboard), front[0])),
    ]


@pytest.mark.parametrize(("side", "direction", "face"), KINDS)
def test_one_ring(side, direction, face):
    """A single wedge is a pair whose outer ring is so thin that it does nothing (1e-9 mdeg)."""
    obj = ring(20, 900, 4.5, direction, face, 1, thickness=3.0)
    flat = {**obj, "taper_mdeg": 1e-9}
    both = RingSet("one", "One", 1, None, Ring(**obj), Ring(**flat))
    for mark in range(1, 21):
        thick = mark_direction(obj, side, mark, obj["thick_mark"])
        expected = camber_and_toe(face_normal(OUTBOARD[side], thick, 0.9, 3.0), side)
        assert np.degrees(effect_of_pair(both, mark, 1)).tolist() == pytest.approx(expected, abs=SAME_ANGLE_DEG)


@pytest.mark.parametrize(("side", "direction", "face"), KINDS)
def test_a_pair_of_unlike_rings(side, direction, face):
    """The outer ring stands on the inner ring's outer face, clocked in that plane."""
    inner = ring(20, 900, 4.5, direction, face, 1, thickness=3.0)
    outer = ring(16, 1400, 0.25, "clockwise", "outboard", 0, thickness=4.0)
    both = RingSet.from_json(ring_set("pair", inner, outer))
    for i, j in itertools.product((1, 4, 11, 17), (0, 3, 9, 15)):
        thick = mark_direction(inner, side, i, inner["thick_mark"])
        first = face_normal(OUTBOARD[side], thick, 0.9, 3.0)
        carry, _ = Rotation.align_vectors([first], [OUTBOARD[side]])  # the shortest turn from one face to the other
        outer_thick = carry.apply(mark_direction(outer, side, j, outer["thick_mark"]))
        expected = camber_and_toe(face_normal(first, outer_thick, 1.4, 4.0), side)
        assert np.degrees(effect_of_pair(both, i, j)).tolist() == pytest.approx(expected, abs=SAME_ANGLE_DEG)


@pytest.mark.parametrize(("side", "direction", "face"), KINDS)
def test_every_mark_sits_where_the_person_sees_it(side, direction, face):
    obj = ring(54, 550, 1.0, direction, face)
    for mark in (1, 7, 28.5, 54):
        seen = mark_direction(obj, side, 12, mark)
        clock = math.atan2(-seen[0], seen[2])  # from the top towards the rear
        ours = float(mark_clock(Ring.from_json(obj), 12, mark, side))
        assert math.cos(clock - ours) == pytest.approx(1.0, abs=1e-12)
        assert math.sin(clock - ours) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("side", ["left", "right"])
def test_thick_at_the_top_leans_the_top_out_and_thick_at_the_rear_toes_in(side):
    """In words: common practice, no source; the solid says the same."""
    for thick, expected in ((UP, [1.0, 0.0]), (np.array([-1.0, 0.0, 0.0]), [0.0, 1.0])):
        assert camber_and_toe(face_normal(OUTBOARD[side], thick, 1.0, 3.0), side) == pytest.approx(expected, abs=1e-9)
