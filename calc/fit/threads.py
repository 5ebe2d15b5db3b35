"""Metric screw threads M8 to M16: sizes, stress areas and proof loads. Knows nothing of torque or rings.

Lengths in mm, areas in mm², stresses in MPa (N/mm²), forces in N.
"""

import math
from dataclasses import dataclass

from calc.numbers.checks import check_choice, check_keys, check_number
from calc.numbers.errors import InputError

# Nominal diameter and pitch, ISO 261 / ISO 262 (coarse first, then the fine pitches in use on hubs).
COARSE_PITCH_MM = {8.0: 1.25, 10.0: 1.5, 12.0: 1.75, 14.0: 2.0, 16.0: 2.0}
FINE_PITCHES_MM = {8.0: (1.0,), 10.0: (1.25, 1.0), 12.0: (1.5, 1.25), 14.0: (1.5,), 16.0: (1.5,)}

# Stress under proof load by property class, ISO 898-1, for diameters up to 16 mm. Class 8.8: 580 MPa up to 16 mm.
PROOF_STRESS_MPA = {"8.8": 580.0, "9.8": 650.0, "10.9": 830.0, "12.9": 970.0}

# d - 0.938194 P is the mean of the pitch diameter and the minor diameter less a sixth of the triangle's height
# (ISO 898-1, nominal stress area: As = pi/4 ((d2 + d3) / 2)^2).
STRESS_DIAMETER_PITCHES = 0.938194


@dataclass(frozen=True)
class Thread:
    """A metric thread by nominal diameter and pitch, both in mm."""

    diameter_mm: float
    pitch_mm: float

    @classmethod
    def from_json(cls, obj, field: str) -> "Thread":
        """Return the thread of `{"diameter_mm", "pitch_mm"}`; InputError for one that this module does not carry."""
        check_keys(obj, field, ("diameter_mm", "pitch_mm"))
        diameter_mm = check_number(obj["diameter_mm"], f"{field}.diameter_mm", 1, 100)
        pitch_mm = check_number(obj["pitch_mm"], f"{field}.pitch_mm", 0.1, 10)
        if diameter_mm not in COARSE_PITCH_MM:
            raise InputError(f"{field}.diameter_mm", "8, 10, 12, 14 or 16", f"{diameter_mm:g}")
        pitches = (COARSE_PITCH_MM[diameter_mm], *FINE_PITCHES_MM[diameter_mm])
        if pitch_mm not in pitches:
            wanted = " or ".join(f"{pitch:g}" for pitch in pitches)
            raise InputError(f"{field}.pitch_mm", f"{wanted} for M{diameter_mm:g}", f"{pitch_mm:g}")
        return cls(diameter_mm, pitch_mm)


def check_class(value, field: str) -> str:
    """Return `value` if it is a property class that this module carries."""
    return check_choice(value, field, tuple(PROOF_STRESS_MPA))


def stress_area_mm2(thread: Thread) -> float:
    """Return the nominal stress area of the thread in mm² (ISO 898-1).

    >>> round(stress_area_mm2(Thread(12.0, 1.75)), 3)
    84.267
    """
    diameter_mm = thread.diameter_mm - STRESS_DIAMETER_PITCHES * thread.pitch_mm
    return math.pi / 4 * diameter_mm * diameter_mm


def proof_load_n(thread: Thread, property_class: str) -> float:
    """Return the proof load of the thread in N: proof stress of the class times stress area (ISO 898-1).

    >>> round(proof_load_n(Thread(12.0, 1.75), "8.8"))
    48875
    """
    return PROOF_STRESS_MPA[property_class] * stress_area_mm2(thread)
