"""How often proving names the true cause, on mishaps simulated by a model of their own (tests/calc/mishaps.py).

Run as `python -m tests.bench.bench_prove [mishaps of each cause]`; 200 if nothing is said. Not collected by pytest:
tests/calc/test_prove_rates.py holds a smaller version.
"""

import sys
from collections import Counter
from random import Random

from calc.prove.prove import prove
from tests.calc.mishaps import CAUSES, Mishap

COUNT = 200
CONFIDENT = 0.8


def rates(cause: str, count: int, seed: int) -> dict:
    """Return of one cause how often it stands first, is in the first group, another heads by a confident share.

    `size` is that of the first groups in all; `heads` what stood first where it was not the cause.
    """
    random = Random(seed)
    tally, heads = Counter(), Counter()
    for _ in range(count):
        found = prove(Mishap(random, cause).asked)
        first, head = found["groups"][0], found["causes"][0]
        tally["first"] += head["code"] == cause
        tally["named"] += cause in first
        tally["size"] += len(first)
        is_wrong = head["share"] >= CONFIDENT and head["code"] != cause
        tally["confidently wrong"] += is_wrong
        if head["code"] != cause:
            heads[head["code"] + (" !" if is_wrong else "")] += 1
    return {**tally, "heads": heads}


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    print(
        f"{count} of each cause: in the first group, first, confidently wrong (share {CONFIDENT} or more), group size"
    )
    total = Counter()
    for seed, cause in enumerate(CAUSES, 900):
        found = rates(cause, count, seed)
        heads = ", ".join(f"{code} {n}" for code, n in found.pop("heads").most_common(4))
        total.update(found)
        print(f"  {cause:22} {_line(found, count)}   else first: {heads}", flush=True)
    print(f"  {'over all':22} {_line(total, count * len(CAUSES))}")


def _line(found: dict, count: int) -> str:
    shares = " ".join(f"{100 * found[name] / count:6.1f} %" for name in ("named", "first", "confidently wrong"))
    return f"{shares}  {found['size'] / count:4.1f}"


if __name__ == "__main__":
    main()
