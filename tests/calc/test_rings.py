"""Ring data, clock positions and thickness; the exact composition itself is held to libraries in tests/published."""

import copy
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.numbers.errors import InputError
from calc.numbers.sides import SIDES
from calc.rings.rings import (
    Ring,
    RingSet,
    clock_sense,
    effect_of_pair,
    mark_clock,
    marked_face,
    normal_of_pair,
    swap_freely,
    thick_point_clock,
    thickness,
)
from calc.rings.rotation import matrix_from_axis_angle
from fixtures.golden.choose_cases import ring, ring_set
from tests.calc.strategies import ring_sets, rings

CLOCK_TOLERANCE_RAD = 1e-9


@given(ring_sets())
def test_json_round_trip(obj):
    assert RingSet.from_json(obj).to_json() == obj
    assert list(RingSet.from_json(obj).to_json()) == list(obj)


WRONG = [
    ("inner.marks", 0, "a whole number from 3 to 720"),
    ("inner.marks", 721, "a whole number from 3 to 720"),
    ("inner.marks", 54.0, "a whole number from 3 to 720"),
    ("inner.marks", True, "a whole number from 3 to 720"),
    ("outer.taper_mdeg", 0, "a whole number from 1 to 5000"),
    ("outer.taper_mdeg", -550, "a whole number from 1 to 5000"),
    ("outer.direction", "left", "one of clockwise, counterclockwise"),
    ("inner.marked_face_right", None, "one of inboard, outboard"),
    ("inner.thick_mark", float("nan"), "a number from -1e+06 to 1e+06"),
    ("inner.thick_mark", "1", "a number from -1e+06 to 1e+06"),
    ("inner.bore_diameter_mm", 148.0, "less than the outer diameter of 148 mm"),
    ("inner.centre_thickness_mm", 0.7, "more than 0.71 mm, where this taper ends in a knife edge at the rim"),
    ("max_tilt_mdeg", 0, "a whole number from 1 to 10000"),
    ("format", 2, "1"),
    ("id", "", "text of 1 to 80 characters"),
    ("inner", [], "an object"),
]


@pytest.mark.parametrize(("path", "value", "expected"), WRONG)
def test_a_wrong_field_is_named_with_what_was_expected(path, value, expected):
    obj = copy.deepcopy(ring_set("demo", ring(54, 550), ring(54, 550)))
    *parents, key = path.split(".")
    target = obj
    for parent in parents:
        target = target[parent]
    target[key] = value
    with pytest.raises(InputError) as caught:
        RingSet.from_json(obj)
    assert (caught.value.field, caught.value.expected) == (f"ring_set.{path}", expected)


def test_unknown_and_missing_keys_are_errors():
    with pytest.raises(InputError, match=r"ring_set\.colour: expected one of format, id, .*, got an unknown key"):
        RingSet.from_json({**ring_set("demo", ring(54, 550)), "colour": 1})
    inner = ring(54, 550)
    del inner["thick_mark"]
    with pytest.raises(InputError, match=r"ring_set\.inner\.thick_mark: expected a value, got nothing"):
        RingSet.from_json(ring_set("demo", inner))


@given(rings(), st.integers(-100, 100), st.floats(-50, 50))
def test_a_mark_has_the_same_clock_on_both_sides(obj, at_top, mark):
    """The claim of calc/README: Ring pairs: mirroring the marked faces makes one table right for both wheels."""
    one = Ring.from_json(obj)
    assert marked_face(one, "left") != marked_face(one, "right")
    left, right = (mark_clock(one, at_top, mark, side) for side in SIDES)
    assert left == right
    assert 0 <= left < 2 * math.pi or left == pytest.approx(2 * math.pi)


@pytest.mark.parametrize(
    ("direction", "face", "sense"),
    [
        ("clockwise", "outboard", -1),
        ("clockwise", "inboard", 1),
        ("counterclockwise", "outboard", 1),
        ("counterclockwise", "inboard", -1),
    ],
)
def test_the_four_senses(direction, face, sense):
    one = Ring.from_json(ring(36, 500, direction=direction, face=face))
    assert clock_sense(one) == sense
    quarter_on = mark_clock(one, 1, 10)
    assert quarter_on == pytest.approx(math.pi / 2 if sense == 1 else 3 * math.pi / 2, abs=CLOCK_TOLERANCE_RAD)


@given(rings(), st.integers(0, 20), st.integers(-3, 3))
def test_the_thick_mark_counts_round(obj, at_top, turns):
    turned = {**obj, "thick_mark": obj["thick_mark"] + turns * obj["marks"]}
    apart = thick_point_clock(Ring.from_json(obj), at_top) - thick_point_clock(Ring.from_json(turned), at_top)
    assert math.cos(apart) == pytest.approx(1.0, abs=1e-12)


@given(ring_sets(), st.integers(0, 40), st.integers(0, 40))
def test_marks_count_round_too(obj, i, j):
    both = RingSet.from_json(obj)
    further = effect_of_pair(both, i + both.inner.marks, j + both.outer.marks)
    np.testing.assert_allclose(further, effect_of_pair(both, i, j), atol=1e-12)


def test_shapes_broadcast():
    both = RingSet.from_json(ring_set("demo", ring(54, 550), ring(40, 300)))
    i, j = both.inner.mark_numbers[:, None], both.outer.mark_numbers[None, :]
    assert normal_of_pair(both, i, j).shape == (54, 40, 3)
    np.testing.assert_allclose(np.linalg.norm(normal_of_pair(both, i, j), axis=-1), 1.0, atol=1e-15)
    camber, _toe = effect_of_pair(both, 3, j)
    assert camber.shape == (1, 40)
    assert thickness(both, 1, 1, np.array([10.0, 60.0]), 0.0).shape == (2,)


def test_first_order_form_near_zero_taper():
    """A ring of taper a with its thick point at phi gives a (cos phi, sin phi)."""
    both = RingSet.from_json(ring_set("thin", ring(36, 1, 4.0), ring(36, 1, 9.0)))
    phi_inner, phi_outer = thick_point_clock(both.inner, 1), thick_point_clock(both.outer, 1)
    camber, toe = np.degrees(effect_of_pair(both, 1, 1)) * 1000
    assert camber == pytest.approx(np.cos(phi_inner) + np.cos(phi_outer), abs=1e-6)
    assert toe == pytest.approx(np.sin(phi_inner) + np.sin(phi_outer), abs=1e-6)


def test_thickness_by_hand():
    """Both thick points at the top: there two tapers add, at the bottom they lack, at the rear neither shows."""
    both = RingSet.from_json(ring_set("demo", ring(54, 550)))
    slope = math.tan(math.radians(0.55))
    assert thickness(both, 1, 1, 60.0, 0.0) == pytest.approx(4.8 + 120 * slope)
    assert thickness(both, 1, 1, 60.0, math.pi) == pytest.approx(4.8 - 120 * slope)
    assert thickness(both, 1, 1, 60.0, math.pi / 2) == pytest.approx(4.8)


def test_swap_freely_needs_alike_rings_of_small_taper():
    assert swap_freely(RingSet.from_json(ring_set("demo", ring(54, 550))))
    assert swap_freely(RingSet.from_json(ring_set("round", ring(54, 550, 1.0), ring(54, 550, 55.0))))
    assert not swap_freely(RingSet.from_json(ring_set("unlike", ring(54, 550), ring(54, 551))))
    assert not swap_freely(RingSet.from_json(ring_set("steep", ring(54, 1501))))


@pytest.mark.parametrize("taper", [100, 550, 1500])
def test_swapping_alike_rings_moves_less_than_one_mdeg(taper):
    both = RingSet.from_json(ring_set("alike", ring(54, taper)))
    marks = both.inner.mark_numbers
    there = np.degrees(effect_of_pair(both, marks[:, None], marks[None, :]))
    assert np.max(np.abs(there - there.transpose(0, 2, 1))) < 0.001


@given(st.tuples(*[st.floats(-1, 1)] * 3), st.floats(-4, 4))
def test_rotations_keep_lengths_and_their_axis(axis, angle_rad):
    length = math.hypot(*axis)
    if length < 1e-3:
        return
    axis = np.array(axis) / length
    matrix = matrix_from_axis_angle(axis, angle_rad)
    np.testing.assert_allclose(matrix @ matrix.T, np.eye(3), atol=1e-12)
    np.testing.assert_allclose(matrix @ axis, axis, atol=1e-12)
    assert np.linalg.det(matrix) == pytest.approx(1.0)


def test_a_nan_in_an_array_stays_where_it_is():
    matrices = matrix_from_axis_angle(np.array([[0.0, 0.0, 1.0], [np.nan, 0.0, 1.0]]), 0.5)
    assert np.isfinite(matrices[0]).all()
    assert np.isnan(matrices[1]).any()
