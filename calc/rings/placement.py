"""Where everything sits, as the person at that wheel sees it: marks, thick points, bolts, and how thick the stack is.

The person stands outboard of the wheel and looks at it: x to the viewer's right, y up. On the right wheel the front of
the vehicle is on the right hand, on the left wheel on the left. Must not decide anything.
"""

import math

from calc.numbers.rounding import to_decimals
from calc.numbers.units import round_half_away
from calc.rings.rings import Ring, RingSet, mark_clock, marked_face, thick_point_clock, thickness
from calc.rings.tilt import effect_mdeg, placed_pair


def seen_point(wheel: str, clock_deg: float, radius: float = 1.0) -> list[float]:
    """Return [x, y] as seen at the wheel, in the unit of `radius`, to 4 decimals."""
    clock = math.radians(clock_deg)
    rearward = 1.0 if wheel == "left" else -1.0
    return [to_decimals(rearward * radius * math.sin(clock), 4), to_decimals(radius * math.cos(clock), 4)]


def whole_clock_deg(clock_rad: float) -> float:
    """Return a clock in degrees to 0.001, from 0 to below 360."""
    degrees = to_decimals(math.degrees(clock_rad) % 360, 3)
    return degrees if degrees < 360 else 0.0


def ring_drawing(ring: Ring, mark_at_top: int, wheel: str) -> dict:
    """Return the ring as seen: where the marked face looks, the thick point, and `marks` [mark, clock_deg, x, y]."""
    clocks = [whole_clock_deg(float(clock)) for clock in mark_clock(ring, mark_at_top, ring.mark_numbers)]
    thick = whole_clock_deg(float(thick_point_clock(ring, mark_at_top)))
    marks = zip(ring.mark_numbers.tolist(), clocks, strict=True)
    return {
        "marked_face": marked_face(ring, wheel),
        "thick_clock_deg": thick,
        "thick_seen": seen_point(wheel, thick),
        "marks": [[mark, clock, *seen_point(wheel, clock)] for mark, clock in marks],
    }


def places_drawing(places: list[tuple[float, float]], wheel: str) -> list[dict]:
    """Return bolts or lugs as seen, numbered from 1, `seen` in mm."""
    return [
        {"number": k, "radius_mm": radius, "clock_deg": clock, "seen": seen_point(wheel, clock, radius)}
        for k, (radius, clock) in enumerate(places, 1)
    ]


def stack_at(ring_set: RingSet, pair: tuple[int, int], radius_mm: float, clock_deg: float) -> float:
    """Return the thickness of the pair at a place, mm, not rounded."""
    return float(thickness(ring_set, *pair, radius_mm, math.radians(clock_deg)))


def stack_summary(ring_set: RingSet, pair: tuple[int, int]) -> dict:
    """Return the stack as a whole.

    Thickness in mm at the centre, least and most at the smaller rim; the clock of its thickest point (null for a pair
    that does not tilt); the effect [camber, toe] in mdeg.
    """
    rings = placed_pair(ring_set, pair)
    up = sum(math.tan(ring.taper_rad) * math.cos(ring.clock_rad) for ring in rings)
    rearward = sum(math.tan(ring.taper_rad) * math.sin(ring.clock_rad) for ring in rings)
    centre_mm = ring_set.inner.centre_thickness_mm + ring_set.outer.centre_thickness_mm
    lean_mm = min(ring_set.inner.outer_diameter_mm, ring_set.outer.outer_diameter_mm) / 2 * math.hypot(up, rearward)
    effect = effect_mdeg(rings)
    tilts = to_decimals(lean_mm, 2) > 0
    return {
        "centre_mm": to_decimals(centre_mm, 2),
        "least_mm": to_decimals(centre_mm - lean_mm, 2),
        "most_mm": to_decimals(centre_mm + lean_mm, 2),
        "thick_clock_deg": to_decimals(math.degrees(math.atan2(rearward, up)) % 360, 1) % 360 if tilts else None,
        "effect": [round_half_away(effect[0]), round_half_away(effect[1])],
    }
