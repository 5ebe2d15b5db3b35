"""Clearances cut into rings: between which marks they lie, and whether rings that are cut serve once more.

A slot is known by its clock against the ring's thick point, so nothing here depends on how the cut rings were marked.
"""

import math

from calc.numbers.rounding import to_decimals
from calc.rings.bolt_pattern import served_by
from calc.rings.rings import Ring, clock_sense

# Clearance hole for a bolt, mm by nominal diameter: ISO 273 coarse series as in the tables of the package bd_warehouse
# 0.4.0 (read there). A setting: the rings' maker may ask for another.
CLEARANCE_MM = {8.0: 10.0, 10.0: 12.0, 12.0: 15.0, 14.0: 17.0, 16.0: 19.0}


def wrapped_mark(ring: Ring, mark: float) -> float:
    """Return a mark number counted round into [first, first + marks), to 0.01.

    >>> wrapped_mark(Ring(40, 1, "clockwise", "inboard", 500, 8, 1.0, 2.4, 148.0, 62.0), 40.5)
    40.5
    """
    turned = to_decimals((mark - ring.first_mark) % ring.marks, 2)
    return to_decimals((turned if turned < ring.marks else 0.0) + ring.first_mark, 2)


def mark_at_clock(ring: Ring, mark_at_top: float, clock_deg: float) -> float:
    """Return the mark number (any real, not counted round) that stands at a clock angle."""
    return mark_at_top + clock_sense(ring) * clock_deg / 360 * ring.marks


def clearance_marks(ring: Ring, mark_at_top: int, bolt: tuple[float, float], clearance_mm: float) -> dict:
    """Return where one bolt's clearance lies on a ring, in mark numbers to 0.01, counted upwards from `from` to `to`.

    `between` are the whole marks just outside it. The clearance is `clearance_mm` wide at the bolt's radius, which must
    be more than half of that.
    """
    radius_mm, clock_deg = bolt
    half_deg = math.degrees(math.asin(clearance_mm / 2 / radius_mm))
    edges = sorted(mark_at_clock(ring, mark_at_top, clock_deg + turn) for turn in (-half_deg, half_deg))
    return {
        "centre": wrapped_mark(ring, mark_at_clock(ring, mark_at_top, clock_deg)),
        "from": wrapped_mark(ring, edges[0]),
        "to": wrapped_mark(ring, edges[1]),
        "between": [
            int(wrapped_mark(ring, math.floor(to_decimals(edges[0], 2)))),
            int(wrapped_mark(ring, math.ceil(to_decimals(edges[1], 2)))),
        ],
    }


def cut_ring_serves(bolts, old_thick_deg: float, new_thick_deg: float, slack_mm: float) -> dict:
    """Return `{"serves", "turned_over"}`: can a ring cut for one clock of its thick point go in at another?

    As it is, its slots move with the thick point. Turned over with the thick point where it is wanted, they lie
    mirrored about it. As it is comes first, because turning over also turns the marked face.
    """
    as_it_is = [(radius, clock + new_thick_deg - old_thick_deg) for radius, clock in bolts]
    if served_by(bolts, as_it_is, slack_mm):
        return {"serves": True, "turned_over": False}
    mirrored = [(radius, new_thick_deg + old_thick_deg - clock) for radius, clock in bolts]
    serves = served_by(bolts, mirrored, slack_mm)
    return {"serves": serves, "turned_over": serves}
