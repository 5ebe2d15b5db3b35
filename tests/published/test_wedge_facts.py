"""What is known of two stacked wedges. Each check names its source and mark."""

import math

import numpy as np
import pytest

from calc.rings.rings import OUTBOARD, RingSet, effect_of_normal, effect_of_pair, normal_of_pair, thick_point_clock
from calc.rings.table import table_of
from fixtures.golden.choose_cases import ring, ring_set

TAPERS_DEG = (0.3, 1.0, 1.5)


def pair(taper_deg: float, other_deg: float | None = None, marks: int = 72) -> RingSet:
    other = taper_deg if other_deg is None else other_deg
    rings = (ring(marks, round(1000 * taper), thickness=10.0) for taper in (taper_deg, other))
    return RingSet.from_json(ring_set("pair", *rings))


def all_pairs(both: RingSet):
    return both.inner.mark_numbers[:, None], both.outer.mark_numbers[None, :]


def effects_deg(both: RingSet) -> np.ndarray:
    """(2, rows, columns): camber and toe of every pair."""
    return np.degrees(effect_of_pair(both, *all_pairs(both)))


def clocks(both: RingSet):
    i, j = all_pairs(both)
    return thick_point_clock(both.inner, i), thick_point_clock(both.outer, j)


def total_tilt(both: RingSet) -> np.ndarray:
    normal = normal_of_pair(both, *all_pairs(both))
    return np.arctan2(np.linalg.norm(np.cross(normal, OUTBOARD), axis=-1), normal @ OUTBOARD)


@pytest.mark.parametrize("taper", TAPERS_DEG)
def test_equal_rings_tilt_by_the_half_angle_law(taper):
    """sin(T/2) = sin a cos(d/2). Fact 1, COMPUTED."""
    both = pair(taper)
    apart = np.subtract(*clocks(both))
    expected = math.sin(math.radians(taper)) * np.abs(np.cos(apart / 2))
    np.testing.assert_allclose(np.sin(total_tilt(both) / 2), expected, atol=1e-12)


def test_unequal_rings_tilt_by_the_cosine_law():
    """cos T = cos a cos b - sin a sin b cos d. Fact 1, COMPUTED."""
    both = pair(1.2, 0.7)
    a, b = math.radians(1.2), math.radians(0.7)
    expected = math.cos(a) * math.cos(b) - math.sin(a) * math.sin(b) * np.cos(np.subtract(*clocks(both)))
    np.testing.assert_allclose(np.cos(total_tilt(both)), expected, atol=1e-14)


def vector_sum_deg(both: RingSet) -> np.ndarray:
    tapers = both.inner.taper_mdeg / 1000, both.outer.taper_mdeg / 1000
    return sum(taper * np.array(np.broadcast_arrays(np.cos(c), np.sin(c))) for taper, c in _wide(both, tapers))


def _wide(both: RingSet, tapers):
    inner, outer = np.broadcast_arrays(*clocks(both))
    return zip(tapers, (inner, outer), strict=True)


@pytest.mark.parametrize("taper", TAPERS_DEG)
def test_the_vector_sum_errs_by_no_more_than_known(taper):
    """At most 3.4e-4 a^3 degrees, and close to that somewhere. Fact 2, COMPUTED."""
    both = pair(taper)
    error = np.abs(vector_sum_deg(both) - effects_deg(both)).max()
    assert 3.0e-4 * taper**3 < error <= 3.4e-4 * taper**3


@pytest.mark.parametrize("taper", TAPERS_DEG)
def test_swapping_equal_rings_errs_by_no_more_than_known(taper):
    """At most 2.35e-4 a^3 degrees. Fact 2, COMPUTED."""
    effects = effects_deg(pair(taper))
    error = np.abs(effects - effects.transpose(0, 2, 1)).max()
    assert 2.0e-4 * taper**3 < error <= 2.35e-4 * taper**3


@pytest.mark.parametrize("taper", TAPERS_DEG)
def test_front_view_camber_is_not_true_inclination(taper):
    """Ours is the front view; the true inclination differs by up to 4.7e-4 a^3 degrees. Fact 3, COMPUTED."""
    both = pair(taper)
    inclination = np.degrees(-np.arcsin(normal_of_pair(both, *all_pairs(both))[..., 2]))
    error = np.abs(inclination - effects_deg(both)[0]).max()
    assert 4.0e-4 * taper**3 < error <= 4.7e-4 * taper**3


def test_adding_the_effect_to_the_reading_errs_by_no_more_than_known():
    """0.0014 camber and 0.0042 toe degrees at a = 1, camber before -3..1.5, toe before +-0.5. Fact 4, COMPUTED.

    The exact result puts the pair on a hub face that already leans: the pair's own axes lean with it.
    """
    both = pair(1.0)
    local = normal_of_pair(both, *all_pairs(both))
    errors = []
    for camber in np.linspace(-3.0, 1.5, 7):
        for toe in np.linspace(-0.5, 0.5, 5):
            outboard = np.array([math.tan(math.radians(toe)), 1.0, -math.tan(math.radians(camber))])
            outboard /= np.linalg.norm(outboard)
            forward = np.cross(outboard, [0.0, 0.0, 1.0])  # the marked top stays the top of the leaning face
            forward /= np.linalg.norm(forward)
            carried = local @ np.stack([forward, outboard, np.cross(forward, outboard)])
            exact = np.degrees(effect_of_normal(carried))
            errors.append(np.abs(exact - effects_deg(both) - np.array([camber, toe])[:, None, None]).max((1, 2)))
    worst_camber, worst_toe = np.max(errors, axis=0)
    assert worst_camber <= 0.0015
    assert worst_toe <= 0.0043


def test_clock_error_outweighs_all_of_these():
    """One degree of clock error moves 2 a sin 1 deg: 0.035 degrees at a = 1. Fact 5, COMPUTED."""
    turned = [RingSet.from_json(ring_set("x", ring(360, 1000, 1.0 + step, thickness=10.0))) for step in (0.0, 1.0)]
    apart = np.hypot(*(np.degrees(effect_of_pair(turned[1], 1, 1)) - np.degrees(effect_of_pair(turned[0], 1, 1))))
    assert apart == pytest.approx(0.0349, abs=0.0001)


@pytest.mark.parametrize("marks", [6, 12, 40, 54])
def test_count_of_distinct_results_of_equal_rings(marks):
    """N^2/2 + 1 distinct sums and N pairs that give none (N even). Fact 8, COMPUTED; vector sum, so rounded to 1e-9."""
    both = pair(0.5, marks=marks)
    sums = {(round(c, 9) + 0.0, round(t, 9) + 0.0) for c, t in zip(*vector_sum_deg(both).reshape(2, -1), strict=True)}
    assert len(sums) == marks**2 // 2 + 1
    table = table_of(both)
    none = sum(camber == toe == 0 for camber, toe in zip(table["camber"], table["toe"], strict=True))
    assert none == marks


# Ophthalmic prism base, the same sum of small tilts: up and in, resultant and its angle. Section 1.
PRISMS = [
    (1.5, 2.0, 2.5, 36.870),  # OPH 142, Durham Tech, prism_base modules 01_a, b, e: READ 2.5 at 37 deg; COMPUTED 36.870
    (1.0, 2.0, 2.236068, 26.565),  # module 01_d: the problem READ, the answer COMPUTED
    (1.433941, 2.047880, 2.5, 35.0),  # module 01_e: 2.5 resolved at 35 deg READ; components COMPUTED
]


@pytest.mark.parametrize(("up", "inward", "resultant", "angle_deg"), PRISMS)
def test_resultants_of_crossed_prisms(up, inward, resultant, angle_deg):
    """Two rings, one thick at the top, one a quarter round; tenths of a degree, so that first order holds."""
    both = RingSet.from_json(ring_set("prism", ring(4, round(100 * up)), ring(4, round(100 * inward), thick=2.0)))
    camber, toe = np.degrees(effect_of_pair(both, 1, 1))
    assert math.hypot(camber, toe) == pytest.approx(resultant / 10, abs=1e-3)
    assert math.degrees(math.atan2(camber, toe)) == pytest.approx(angle_deg, abs=0.15)
