"""How the desk says a ring set: its data, what it reaches, and what keeps a measurement from being trusted."""

import numpy as np

from calc.numbers.sides import RINGS
from calc.rings.rings import RingSet, swap_freely
from calc.rings.table import effects_of, offered_of
from server.desk.ring_form.ring_fields import PER_RING
from server.desk.ring_form.ring_form import said

# code of calc.measure.measure -> what it means and what to do next
REASONS = {
    "reading-does-not-fit": "One reading does not fit the others. Measure that mark again; a burr or dirt does this.",
    "few-readings": "Fewer than six readings: one slip would not be noticed. Measure at more marks.",
    "wide-gap": "More than a third of the rim has no reading. Measure there too.",
    "readings-scatter": "The readings scatter more than a careful tool does. Clean ring and tool and measure again.",
    "taper-uncertain": "The taper is not known well enough to choose by. More readings, or rows, settle it.",
    "thick-mark-uncertain": "The mark at the thickest point is not known to half a mark. More of them settle it.",
    "no-taper": "No taper shows: these rings are flat, or the numbers are all alike. Look at the rings.",
    "no-such-ring": "No solid ring can have these figures: the thin edge would be less than nothing.",
    "row-does-not-fit": "Rows named below do not fit the others: a misprint or a slip in typing. They were left out;"
    " compare them with the paper.",
    "value-off-step": "Rows named below hold a value that the steps of its column leave out. Compare with the paper.",
    "rows-do-not-agree": "The rows do not agree with each other for any pair of rings. Look at units, signs, marks and"
    " steps, and at what a row says: what its pair does, or a wanted change.",
    "direction-contradicted": "The rows say that the numbers run the other way than was seen on the ring. Look again,"
    " also at which way the marked face looks. If both are right, one column’s plus is told the wrong way, and the"
    " rings would do the opposite in that angle.",
    "rows-too-alike": "The rows turn both rings alike and cannot tell them apart. Add rows with quite other pairs.",
    "direction-not-settled": "The rows fit both ways in which the numbers may run. Add rows with quite other pairs.",
}  # fmt: skip


def facts_of(ring_set_json: dict) -> dict:
    """Return what a ring set is and reaches: pairs, the most tilt in degrees, rings alike or not, rows of data."""
    ring_set = RingSet.from_json(ring_set_json)
    camber, toe = effects_of(ring_set)
    offered = np.hypot(camber, toe)[offered_of(ring_set)]
    return {
        "pairs": int(camber.size),
        "offered": int(offered.size),
        "most_tilt": f"{offered.max() / 1000:.2f}" if offered.size else "0.00",
        "max_tilt": None if ring_set.max_tilt_mdeg is None else f"{ring_set.max_tilt_mdeg / 1000:g}",
        "alike": swap_freely(ring_set),
        "rows": _rows(ring_set_json),
    }


def _rows(ring_set: dict) -> list[tuple[str, list[str]]]:
    """Return (label, [inner, outer]) for each piece of data."""
    return [(each.label, [said(each.kind, ring_set[ring][each.name]) for ring in RINGS]) for each in PER_RING["data"]]
