"""The verbs of `python -m calc`: name -> (function from JSON object to JSON object, one line of help).

One line each; what a verb does stands in its own module.
"""

from calc.choose.axle import axle
from calc.choose.choose import choose
from calc.fit.fit import fit
from calc.measure.measure import measure
from calc.prove.prove import prove
from calc.rings.rings import RingSet
from calc.rings.table import table_of

VERBS = {
    "table": (
        lambda ring_set: table_of(RingSet.from_json(ring_set)),
        "a ring set -> what each index pair does",
    ),
    "choose": (choose, "base readings, windows and ring sets -> plans, best first"),
    "fit": (fit, "vehicle, bolts, rings and index pair -> may they go in, and how: every aid for the fitting"),
    "prove": (prove, "base and check reading of one wheel -> was it fitted as planned, and if not, why"),
    "measure": (measure, "thickness readings, or the rings' paper -> a ring set, and whether to trust it"),
    "axle": (axle, "readings of both wheels -> total toe, thrust, cross camber, and patterns of damage"),
}
