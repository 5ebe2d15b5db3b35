"""Bolt patterns as lists of (radius in mm, clock in degrees): which turns and mirrorings bring one onto itself."""

import math

from calc.numbers.checks import check_list, check_number
from calc.numbers.rounding import to_decimals

# How far a bolt may stand from the middle of its clearance. A coarse clearance hole is 2 mm wider than an M8 or M10
# bolt (ISO 273, from the tables of the package bd_warehouse), so 1 mm to every side.
SLACK_MM = 1.0
MOST_BOLTS = 24


def bolts_from_json(value, field: str, fewest: int = 0) -> list[tuple[float, float]]:
    """Return a checked list of (radius_mm, clock_deg); clocks from -360 to 720 as typed, two numbers each."""
    bolts = []
    for k, item in enumerate(check_list(value, field, fewest, MOST_BOLTS)):
        radius, clock = check_list(item, f"{field}[{k}]", 2, 2)
        bolts.append(
            (check_number(radius, f"{field}[{k}][0]", 1, 1000), check_number(clock, f"{field}[{k}][1]", -360, 720))
        )
    return bolts


def point_of(radius_mm: float, clock_deg: float) -> tuple[float, float]:
    """Return (rearward, up) in mm."""
    clock = math.radians(clock_deg)
    return radius_mm * math.sin(clock), radius_mm * math.cos(clock)


def served_by(bolts, slots, slack_mm: float = SLACK_MM) -> bool:
    """Return whether every bolt stands within `slack_mm` of the middle of some slot; both (radius, clock)."""
    middles = [point_of(*slot) for slot in slots]
    return all(any(math.dist(point_of(*bolt), middle) <= slack_mm for middle in middles) for bolt in bolts)


def pattern_turns(bolts, slack_mm: float = SLACK_MM) -> list[float]:
    """Return the turns in degrees, over 0 and below 360, rising, that bring the pattern onto itself.

    >>> pattern_turns([(50, 45), (50, 135), (50, 225), (50, 315)])
    [90.0, 180.0, 270.0]
    """
    if not bolts:
        return []
    radius, first = bolts[0]
    turns = sorted({to_decimals((clock - first) % 360, 6) for other, clock in bolts if abs(other - radius) <= slack_mm})
    return [
        turn
        for turn in turns
        if 0 < turn < 360 and served_by(bolts, [(r, clock + turn) for r, clock in bolts], slack_mm)
    ]
