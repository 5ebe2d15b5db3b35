"""How much thread still holds after a stack has gone between the faces, and how long a bolt may be.

Must not choose a bolt for anybody: it gives the least and the greatest extra length.
"""

from calc.fit.threads import Thread
from calc.numbers.rounding import to_decimals

# Wanted engagement in nominal diameters, by the metal that carries the inner thread. A setting, not a truth: common
# practice, no source. Steel as strong as the bolt needs about 0.75; printed trials ask up to 1.0 in steel, 1.4 in iron
# and 2.0 in aluminium, but for hard bolts in soft metal: 10.9 in steel of 360 MPa 1.25, 12.9 in it 1.4, 10.9 in pure
# aluminium 2.5 (tests/published). The metal's strength is not asked, so the service information goes before this.
WANTED_DIAMETERS = {"steel": 1.0, "iron": 1.5, "aluminium": 2.0}


def wanted_mm(thread: Thread, metal: str, nut_height_mm: float | None) -> float:
    """Return the wanted engagement in mm: for a stud the whole nut and one pitch, else diameters by metal.

    >>> wanted_mm(Thread(10.0, 1.5), "iron", None)
    15.0
    """
    if nut_height_mm is not None:
        return nut_height_mm + thread.pitch_mm
    return WANTED_DIAMETERS[metal] * thread.diameter_mm


def engagement_at_bolt(stack_mm: float, engaged_mm: float, want_mm: float, depth_mm: float | None) -> dict:
    """Return what a stack leaves of one bolt's engagement, all in mm to 0.01.

    `engaged_mm` is today's engagement without rings, `depth_mm` the usable thread depth of a blind hole (None where the
    hole is through or a nut is used: such a bolt cannot bottom). `bottoms_at_mm` is the extra length at which a longer
    bolt would touch the bottom; `left_mm` is negative where the thread no longer reaches.
    """
    left_mm = engaged_mm - stack_mm
    return {
        "left_mm": to_decimals(left_mm, 2),
        "longer_by_mm": to_decimals(max(want_mm - left_mm, 0.0), 2),
        "bottoms_at_mm": None if depth_mm is None else to_decimals(depth_mm - left_mm, 2),
    }


def common_length(rows: list[dict]) -> dict:
    """Return `{"at_least_mm", "less_than_mm", "possible"}`: the extra length that suits every bolt of the pattern."""
    at_least = max(row["longer_by_mm"] for row in rows)
    limits = [row["bottoms_at_mm"] for row in rows if row["bottoms_at_mm"] is not None]
    less_than = min(limits) if limits else None
    return {
        "at_least_mm": at_least,
        "less_than_mm": less_than,
        "possible": less_than is None or at_least < less_than,
    }
