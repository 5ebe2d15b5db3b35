"""What two rings do at any clocks: the exact composition in closed form, for single pairs of clocks.

The same rotations as rings.normal_of_pair, multiplied out, so that clocks between marks, rings turned over and pairs
turned on the bolts can be computed, in Python and JavaScript by the same few lines. Must not know marks or readings.
"""

import math
from dataclasses import dataclass

from calc.rings.rings import Ring, RingSet, thick_point_clock

MDEG_PER_RAD = 180_000 / math.pi


@dataclass(frozen=True)
class Placed:
    """A ring where it sits: taper and clock of the thick point in radians, SDs of taper (mdeg) and step angle (rad)."""

    taper_rad: float
    clock_rad: float
    taper_sd_mdeg: float
    step_rad: float


def placed_ring(ring: Ring, mark_at_top: float) -> Placed:
    """Return the ring with a mark at the top."""
    clock_rad = float(thick_point_clock(ring, mark_at_top))
    return Placed(ring.taper_rad, clock_rad, float(ring.taper_sd_mdeg), ring.step_rad)


def turned_over(ring: Placed) -> Placed:
    """Return the ring with its faces exchanged: its thick point stands mirrored about the vertical."""
    return Placed(ring.taper_rad, -ring.clock_rad, ring.taper_sd_mdeg, ring.step_rad)


def placed_pair(ring_set: RingSet, pair: tuple[int, int]) -> tuple[Placed, Placed]:
    """Return the two rings of an index pair where they sit, inner first."""
    return placed_ring(ring_set.inner, pair[0]), placed_ring(ring_set.outer, pair[1])


def turned(rings: tuple[Placed, Placed], turn_rad: float) -> tuple[Placed, Placed]:
    """Return the pair turned as one by `turn_rad`, towards the rear positive."""
    return tuple(Placed(r.taper_rad, r.clock_rad + turn_rad, r.taper_sd_mdeg, r.step_rad) for r in rings)


def effect_mdeg(rings: tuple[Placed, Placed]) -> tuple[float, float]:
    """Return the exact (camber, toe) of two placed rings in mdeg, not rounded.

    With tapers a, b, clocks A, B and d = A - B the hub face's normal R_inner R_outer o has, in (forward, outboard, up),
    o = cos a cos b - sin a sin b cos d, and across it -(sin a cos b + sin b cos d (cos a - 1)) along the inner ring's
    thick point and -sin b along the outer ring's. Source: Rodrigues' formula applied twice (see rings, rotation).
    """
    inner, outer = rings
    sine_a, cosine_a = math.sin(inner.taper_rad), math.cos(inner.taper_rad)
    sine_b, cosine_b = math.sin(outer.taper_rad), math.cos(outer.taper_rad)
    between = math.cos(inner.clock_rad - outer.clock_rad)
    along_inner = sine_a * cosine_b + sine_b * between * (cosine_a - 1)
    outboard = cosine_a * cosine_b - sine_a * sine_b * between
    camber = along_inner * math.cos(inner.clock_rad) + sine_b * math.cos(outer.clock_rad)
    toe = along_inner * math.sin(inner.clock_rad) + sine_b * math.sin(outer.clock_rad)
    return math.atan2(camber, outboard) * MDEG_PER_RAD, math.atan2(toe, outboard) * MDEG_PER_RAD
