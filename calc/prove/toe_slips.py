"""How toe may have been read or typed wrong: its sign or its unit, at base, at check or at both.

It knows factors alone, no rings and no readings: causes.py says what each would have shown.
"""

import math
from dataclasses import dataclass

from calc.rings.tilt import MDEG_PER_RAD

# Toe recorded / toe meant: minutes as hundredths of a degree and back; total toe as one wheel's and back.
TOE_UNIT_FACTORS = {
    "hundredths-read-as-minutes": 100 / 60,
    "minutes-read-as-hundredths": 60 / 100,
    "total-for-one-wheel": 2.0,
    "one-wheel-for-total": 0.5,
}
# Millimetres as degrees and back, at diameters from a small rim's flange to a tyre's (common practice, no source).
TOE_DIAMETERS_MM = (330.0, 380.0, 440.0, 510.0, 590.0, 680.0)
# The unit in which a slip must have been typed; one that is not here may be in any.
SLIP_TYPED_IN = {
    "hundredths-read-as-minutes": "deg-min",
    "minutes-read-as-hundredths": "deg",
    "millimetres-for-degrees": "deg",
    "degrees-for-millimetres": "mm",
}
MISREAD_READINGS = ("base", "check", "both")


@dataclass(frozen=True)
class ToeSlip:
    """One slip: the recorded toe of its readings is `factor` times the true one; `weight` among its code's."""

    code: str
    detail: dict
    factor: float
    weight: float = 1.0

    @property
    def in_base(self) -> bool:
        return self.detail["reading"] != "check"

    @property
    def in_check(self) -> bool:
        return self.detail["reading"] != "base"


def toe_slips(toe_units: dict[str, str | None]) -> list[ToeSlip]:
    """Return the slips of toe-sign-mistaken, then those of toe-unit-mistaken that the typed units leave room for.

    `toe_units`: the unit in which toe was typed at "base" and at "check", None where it is not known.
    """
    found = [ToeSlip("toe-sign-mistaken", {"reading": reading}, -1.0) for reading in MISREAD_READINGS]
    for slip, factors in slip_factors().items():
        for reading in MISREAD_READINGS:
            if _may_be_typed(slip, reading, toe_units):
                detail, weight = {"reading": reading, "slip": slip}, 1 / len(factors)
                found += [ToeSlip("toe-unit-mistaken", detail, factor, weight) for factor in factors]
    return found


def slip_factors() -> dict[str, list[float]]:
    """Return per slip of unit the toe recorded over the toe meant; a length in mm is D sin(toe), near zero."""
    mdeg_per_mm = [math.asin(1 / diameter_mm) * MDEG_PER_RAD for diameter_mm in TOE_DIAMETERS_MM]
    return {
        **{slip: [factor] for slip, factor in TOE_UNIT_FACTORS.items()},
        "millimetres-for-degrees": [1000 / mdeg for mdeg in mdeg_per_mm],
        "degrees-for-millimetres": [mdeg / 1000 for mdeg in mdeg_per_mm],
    }


def _may_be_typed(slip: str, reading: str, toe_units: dict[str, str | None]) -> bool:
    """Return whether the units leave room for a slip; a unit that is not known does."""
    wanted = SLIP_TYPED_IN.get(slip)
    units = [unit for name, unit in toe_units.items() if reading in (name, "both")]
    return wanted is None or all(unit in (None, wanted) for unit in units)
