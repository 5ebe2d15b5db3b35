"""How fast calc is, as ratios measured side by side in one run, and what choosing jointly is worth.

Run as `python -m tests.bench.bench_calc`. Not collected by pytest: it measures, it asserts only that both sides of a
comparison agree. Times are the least of several runs; ratios are what travels from machine to machine.
"""

import math
import time

import numpy as np
from scipy.spatial.transform import Rotation

from calc.choose.choose import choose
from calc.choose.effect_index import index_of, tree_of, trees_of_each
from calc.rings.rings import RingSet, thick_point_clock
from calc.rings.table import effects_of
from fixtures.golden.choose_cases import ring, ring_set
from tests.bench.first_plans import first_plan_rows
from tests.bench.joint_choice import worth_rows
from tests.calc.exhaustive import best_plans, plans_of


def seconds(function, repeats: int) -> float:
    """Return the least time of `repeats` runs, with nothing kept from the run before."""
    least = math.inf
    for _ in range(repeats):
        forget()
        start = time.perf_counter()
        function()
        least = min(least, time.perf_counter() - start)
    return least


def forget() -> None:
    for kept in (effects_of, index_of, tree_of, trees_of_each):
        kept.cache_clear()


def three_sets(marks: int) -> list[dict]:
    """Three ring sets of unlike rings."""
    opposite = {"direction": "counterclockwise", "face": "outboard"}
    return [
        ring_set("a", ring(marks, 550), ring(marks, 480, 3.3, "counterclockwise")),
        ring_set("b", ring(marks, 740, 1.5, face="outboard"), ring(marks, 690, 9.25)),
        ring_set("c", ring(marks, 1000, 7.0), ring(marks, 900, 2.1, **opposite)),
    ]


def axle(ring_sets: list[dict], seed: int) -> dict:
    """A random axle with every window given."""
    random = np.random.default_rng(seed)
    own = {"camber": [-1500, -500], "toe": [0, 200], "aim": None}
    camber, toe = random.normal(-1000, 700, 2), random.normal(100, 350, 2)
    wheels = {
        side: {"camber": int(camber[k]), "toe": int(toe[k]), "rings": "auto"}
        for k, side in enumerate(("left", "right"))
    }
    shared = {"total_toe": [50, 350], "thrust": [-100, 100], "cross_camber": [-500, 500]}
    return {"ring_sets": ring_sets, "wheels": wheels, "windows": {"left": own, "right": own}, "axle": shared}


def scipy_loop(both: RingSet) -> np.ndarray:
    """The same table as a plain loop over pairs with scipy's Rotation."""
    table = np.empty((2, both.inner.marks, both.outer.marks), dtype=np.int64)
    rings = [
        [Rotation.from_rotvec(r.taper_rad * np.array([-math.cos(c), 0.0, -math.sin(c)])) for c in clocks]
        for r, clocks in ((r, thick_point_clock(r, r.mark_numbers)) for r in (both.inner, both.outer))
    ]
    for i, inner in enumerate(rings[0]):
        for j, outer in enumerate(rings[1]):
            forward, outboard, up = (inner * outer).apply([0.0, 1.0, 0.0])
            table[:, i, j] = np.rint(np.degrees(np.arctan2([-up, forward], outboard)) * 1000)
    return table


def write_only(both: RingSet) -> None:
    """Merely allocate and write arrays of the table's shape and type."""
    for _ in range(2):
        np.empty((both.inner.marks, both.outer.marks), dtype=np.int64).fill(7)


def table_rows():
    both = RingSet.from_json(three_sets(72)[0])
    assert np.array_equal(scipy_loop(both), np.array(effects_of(both)))
    ours = seconds(lambda: effects_of(both), 50)
    loop = seconds(lambda: scipy_loop(both), 2)
    write = seconds(lambda: write_only(both), 50)
    yield "table of 72 marks", f"{ours * 1000:.2f} ms"
    yield "  a loop over scipy Rotation takes", f"{loop / ours:.0f} times as long"
    yield "  allocating and writing the arrays alone takes", f"{write / ours:.3f} of it ({write * 1e6:.0f} us)"


def exhaustive_rows():
    """One ring set of 36 marks: 1.7 million joint pairs, as many as fit in memory with ease."""
    case = axle([three_sets(36)[0]], 1)
    assert plans_of(choose(case), case) == best_plans(case)
    ours, slow = seconds(lambda: choose(case), 5), seconds(lambda: best_plans(case), 2)
    yield "choose, 36 marks, one ring set, nothing kept", f"{ours * 1000:.1f} ms"
    yield "  exhaustive search with numpy takes", f"{slow / ours:.0f} times as long"
    pairs = (3 * 72**2) ** 2 / 36**4
    yield (
        "  and at 72 marks, three ring sets, by its number of pairs",
        f"about {pairs * slow:.0f} s (reckoned, not run)",
    )


def warm(case: dict) -> float:
    choose(case)
    start = time.perf_counter()
    choose(case)
    return time.perf_counter() - start


def growth_rows():
    yield "choose, three ring sets, all windows, 40 axles", "first / then median / then worst; per pair of marks"
    first_per_pair = None
    for marks in (24, 36, 48, 72, 96, 144):
        sets = three_sets(marks)
        cold = seconds(lambda sets=sets: choose(axle(sets, 0)), 3)
        times = [warm(axle(sets, seed)) for seed in range(40)]
        per_pair = np.median(times) / marks**2
        first_per_pair = first_per_pair or per_pair
        shown = f"{cold * 1000:.0f} / {np.median(times) * 1000:.0f} / {max(times) * 1000:.0f} ms"
        yield f"  {marks} marks", f"{shown}; {per_pair / first_per_pair:.2f} of that at 24"


def main() -> None:
    for title, rows in (
        ("Tables", table_rows),
        ("Against exhaustive search", exhaustive_rows),
        ("Growth: no worse than linear in N^2 if the last figure does not rise", growth_rows),
        ("Worth", worth_rows),
        ("What stands first", first_plan_rows),
    ):
        print(f"\n{title}")
        for name, figure in rows():
            print(f"  {name:62} {figure}", flush=True)


if __name__ == "__main__":
    main()
