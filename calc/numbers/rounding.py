"""Rounding of lengths and shares at the edge, the same to the last digit in Python and JavaScript.

Must not be used for angles that are chosen with: those are whole millidegrees and round in `units`.
"""

import math


def to_decimals(number: float, decimals: int) -> float:
    """Return `number` rounded half away from zero to `decimals` places, never minus zero.

    Stated as floor(|x| 10^n + 1/2) / 10^n, because Python's round and JavaScript's toFixed treat halves differently.

    >>> to_decimals(-2.0005, 3), to_decimals(-0.0001, 3)
    (-2.001, 0.0)
    """
    scale = 10.0**decimals
    size = math.floor(abs(number) * scale + 0.5) / scale
    return -size if number < 0 and size > 0 else size
