"""A case in which rings may go in, and fit's answer to it with changes. It asserts nothing."""

import copy

from calc.fit.fit import fit
from fixtures.golden.choose_cases import ring, ring_set

RECTANGLE = [[55, 40], [55, 140], [55, 220], [55, 320]]
RINGS = ring_set("demo", {**ring(54, 550), "bore_diameter_mm": 66.0})
FITS = {
    "mounting": "bolt-on-unit",
    "ring_place": "inboard-of-plate",
    "pairs_fitted": 0,
    "pilot": "pilot",
    "pilot_diameter_mm": 60,
    "pilot_length_mm": 12,
    "flange_bore_mm": 60.5,
    "sensor": "with-hub",
    "brake": "drum",
    "flange_diameter_mm": 148,
    "tyre_radius_mm": 310,
    "arch_gap_mm": 40,
}
BOLTS = {
    "at": RECTANGLE,
    "thread": {"diameter_mm": 10, "pitch_mm": 1.5},
    "class": "10.9",
    "engaged_mm": 16,
    "metal": "steel",
}


def fitted(**changes) -> dict:
    """Return fit's answer for a case in which rings may go in, with changes: vehicle_x=... changes vehicle.x."""
    case = {"wheel": "right", "ring_set": RINGS, "pair": [1, 1], "vehicle": dict(FITS), "bolts": copy.deepcopy(BOLTS)}
    for key, value in changes.items():
        holder, _, name = key.partition("_")
        if holder in ("vehicle", "bolts") and name:
            case[holder][name] = value
        else:
            case[key] = value
    return fit(case)
