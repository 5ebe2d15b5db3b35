"""How well measuring tells honest charts from wrong ones; the charts have a model of their own (tests/calc/charts.py).

Run as `python -m tests.bench.bench_measure [charts of each kind]`; 200 if nothing is said. Not collected by pytest:
tests/calc/test_measure_charts.py holds a smaller version.
"""

import sys
from collections import Counter
from random import Random

from calc.measure.measure import measure
from tests.calc.charts import PRINTS, STYLES, chart, step_mdeg
from tests.calc.typing_slips import slipped

COUNT = 200
WRONG = {"rows-do-not-agree", "row-does-not-fit", "value-off-step", "direction-contradicted"}  # the rest asks for rows
LEAST_STEPS = 2.0  # a slip smaller than this drowns in the maker's own rounding


def honest(prints: str, style: str, count: int, seed: int) -> dict:
    """Return how often faultless charts are called wrong, are trusted, or ask for rows; and the worst trusted."""
    random, tally, worst = Random(seed), Counter(), 0.0
    for _ in range(count):
        made = chart(random, prints, style)
        found = measure(made.asked())
        called_wrong = bool(WRONG & {reason["code"] for reason in found["reasons"]})
        tally["called wrong" if called_wrong else "trusted" if found["trustworthy"] else "asks for more rows"] += 1
        if found["trustworthy"]:
            worst = max(worst, made.worst_mdeg(found["ring_set"]))
    return {**tally, "worst_mdeg": worst}


def with_slips(prints: str, slips: int, count: int, seed: int) -> dict:
    """Return how charts of 8 to 14 rows with slips end: trusted, the slips named, others named, or not agreed."""
    random, tally, worst = Random(seed), Counter(), 0.0
    for _ in range(count):
        clean = chart(random, prints, count=random.randint(8, 14))
        typed, places = slipped(random, clean, slips, LEAST_STEPS * step_mdeg(prints))
        found = measure(typed.asked())
        named = [k for k, row in enumerate(found["rows"]) if not row["fits"]]
        if found["trustworthy"]:
            tally["trusted"] += 1
            worst = max(worst, clean.worst_mdeg(found["ring_set"]))
        elif named:
            tally["named" if named == places else "named in part" if set(named) < set(places) else "misnamed"] += 1
        else:
            tally["not agreed"] += 1
    return {**tally, "worst_mdeg": worst}


def with_wrong_sign(prints: str, count: int, seed: int) -> dict:
    """Return how often a chart of which one column's sign is told wrong is trusted, or contradicted."""
    random, tally = Random(seed), Counter()
    for k in range(count):
        made = chart(random, prints, count=10)
        found = measure(made.asked(camber_wrong=k % 2 == 0, toe_wrong=k % 2 == 1))
        codes = {reason["code"] for reason in found["reasons"]}
        tally[
            "trusted" if found["trustworthy"] else "contradicted" if "direction-contradicted" in codes else "other"
        ] += 1
    return dict(tally)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    print(f"Faultless charts, 6 to 14 rows, {count} each")
    for prints in PRINTS:
        for style in STYLES:
            print(f"  {prints:20} {style:8} {_line(honest(prints, style, count, 1))}", flush=True)
    print(f"Typing slips of {LEAST_STEPS} steps or more, 8 to 14 rows, {count} each")
    for prints in PRINTS:
        for slips in (1, 2, 3):
            print(f"  {prints:20} {slips} {_line(with_slips(prints, slips, count, 10 + slips))}", flush=True)
    print(f"One column's sign told wrong, the way of the numbers as seen, 10 rows, {count} each")
    for prints in PRINTS:
        print(f"  {prints:20} {_line(with_wrong_sign(prints, count, 20))}", flush=True)


def _line(tally: dict) -> str:
    worst = tally.pop("worst_mdeg", 0)
    return ", ".join(f"{name} {n}" for name, n in sorted(tally.items())) + (
        f"; worst {worst:.0f} mdeg" if worst else ""
    )


if __name__ == "__main__":
    main()
