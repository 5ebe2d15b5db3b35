"""The verbs of `python -m calc`: name -> (function from JSON object to JSON object, one line of help).

One line each; what a verb does stands in its own module.
"""

from calc.choose import choose
from calc.rings import RingSet
from calc.table import table_of

VERBS = {
    "table": (
        lambda ring_set: table_of(RingSet.from_json(ring_set)),
        "a ring set -> what each index pair does",
    ),
    "choose": (choose, "base readings, windows and ring sets -> plans, best first"),
}
