"""How long the phone takes to choose: Chromium with its processor slowed down six times, and not at all, side by side.

Run as `python -m tests.bench.bench_choose_browser [cases per kind]`. It measures and judges; it tests no result.
The size is the largest that the rule promises: 72 marks, three ring sets of unlike rings, both wheels, every window of
the axle given. The axles are drawn at random from a fixed seed, in kinds that press on different parts of the search.
Chromium slows down by stopping the page in slices of about a millisecond, so one timing spans CALLS choices of the same
input, and of PASSES timings the middle one counts. Run it on a machine with nothing else to do: on a busy one the
slices come late, and the times at full speed, against a sixth of the limit, are the better witness.
"""

import statistics
import sys
from random import Random

from playwright.sync_api import sync_playwright

from calc.rings.rings import RingSet
from calc.rings.table import table_of
from tests.browser import launch_options
from tests.pwa.static_server import serving

SLOWDOWN = 6  # a cheap phone against this machine
MARKS = 72
INDEX_LIMIT_MS, CHOOSE_LIMIT_MS = 200, 16
FRESH_PAGES = 7  # the index is built once per page, by code that has never run before
CALLS, PASSES = 10, 3
DEFAULT_CASES = 100

# In the page. Reading the clock is coarse (0.1 ms), far below the limits.
OPEN = """async (tables) => {
    const { buildIndex } = await import("/js/domain/choose/effect-index.js");
    const { choose } = await import("/js/domain/choose/choose.js");
    const start = performance.now();
    const index = buildIndex(tables);
    const ms = performance.now() - start;
    globalThis.bench = { choose, index, tables };
    return ms;
}"""
CHOOSE = """([inputs, calls]) => inputs.map((input) => {
    const { choose, index, tables } = globalThis.bench;
    const start = performance.now();
    for (let call = 0; call < calls; call++) choose(input, tables, index);
    return (performance.now() - start) / calls;
})"""


def ring(taper_mdeg: int, thick_mark: float, direction: str = "clockwise") -> dict:
    return {
        "marks": MARKS, "first_mark": 1, "direction": direction, "marked_face_right": "inboard",
        "taper_mdeg": taper_mdeg, "taper_sd_mdeg": 8, "thick_mark": thick_mark, "centre_thickness_mm": 2.4,
        "outer_diameter_mm": 148.0, "bore_diameter_mm": 62.0,
    }  # fmt: skip


def ring_set(name: str, inner: dict, outer: dict) -> dict:
    return {"format": 1, "id": name, "name": name, "revision": 1, "max_tilt_mdeg": None, "inner": inner, "outer": outer}


RING_SETS = [
    ring_set("middle", ring(550, 1.3), ring(470, 2.7, "counterclockwise")),
    ring_set("small", ring(250, 1.1), ring(310, 5.4)),
    ring_set("large", ring(800, 3.9), ring(715, 1.25)),
]


class Axles:
    """Random inputs of `choose`, by kind, from one seeded stream."""

    def __init__(self):
        self.random = Random(72)

    def window(self, low: int, high: int, widest: int) -> list[int]:
        edge = self.random.randint(low, high)
        return [edge, edge + self.random.randint(0, widest)]

    def axle(self, camber: tuple[int, int], toe: tuple[int, int], own, shared) -> dict:
        draw = self.random.randint
        wheels = {side: {"camber": draw(*camber), "toe": draw(*toe), "rings": "auto"} for side in ("left", "right")}
        windows = {side: {**own(), "aim": None} for side in ("left", "right")}
        return {"ring_sets": [each["id"] for each in RING_SETS], "wheels": wheels, "windows": windows, "axle": shared()}

    def usual(self) -> dict:
        """The windows of a usual car, readings up to where rings reach."""
        return self.axle(
            (-2500, 500), (-800, 1000),
            lambda: {"camber": [-1500, -500], "toe": [0, 200]},
            lambda: {"total_toe": [50, 350], "thrust": [-100, 100], "cross_camber": [-500, 500]},
        )  # fmt: skip

    def tight(self) -> dict:
        """Windows of a hundredth of a degree: hardly a pair is inside."""
        return self.axle(
            (-2500, 500), (-800, 1000),
            lambda: {"camber": self.window(-1100, -900, 10), "toe": self.window(60, 100, 10)},
            lambda: {"total_toe": [160, 165], "thrust": [5, 6], "cross_camber": [0, 10]},
        )  # fmt: skip

    def at_odds(self) -> dict:
        """Random windows, many of which cannot all hold."""
        return self.axle(
            (-3500, 1500), (-1800, 2000),
            lambda: {"camber": self.window(-1500, -500, 500), "toe": self.window(-200, 200, 200)},
            self.shared,
        )  # fmt: skip

    def far(self) -> dict:
        """Readings beyond any pair."""
        return self.axle(
            (-8000, 8000), (-8000, 8000),
            lambda: {"camber": self.window(-1500, -500, 500), "toe": self.window(-200, 200, 200)},
            self.shared,
        )  # fmt: skip

    def shared(self) -> dict:
        windows = {"total_toe": (-200, 400, 300), "thrust": (-200, 200, 200), "cross_camber": (-700, 700, 600)}
        return {name: self.window(*limits) for name, limits in windows.items()}


def measure(cases: int, slowdown: int) -> tuple[list[float], dict[str, list[float]]]:
    """Return the times in ms: of the index on fresh pages, and per kind of `choose` on one page."""
    tables = [table_of(RingSet.from_json(each)) for each in RING_SETS]
    axles = Axles()
    with serving() as server, sync_playwright() as playwright:
        browser = playwright.chromium.launch(**launch_options())
        index_ms = []
        page = None
        for _ in range(FRESH_PAGES):
            if page:
                page.close()  # pages that stay open are slowed down together
            page = browser.new_page()
            page.goto(f"{server.origin}/tests/run.html")
            page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
            index_ms.append(page.evaluate(OPEN, tables))
        choose_ms = {}
        for kind in (axles.usual, axles.tight, axles.at_odds, axles.far):
            inputs = [kind() for _ in range(cases)]
            passes = [page.evaluate(CHOOSE, [inputs, CALLS]) for _ in range(PASSES)]
            choose_ms[kind.__name__] = [statistics.median(times) for times in zip(*passes, strict=True)]
        browser.close()
    return index_ms, choose_ms


def at_share(times: list[float], share: float) -> float:
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def report(cases: int, slowdown: int, share_of_limit: float) -> bool:
    """Print the table at one speed; return whether the median of the index and the p99 of choose keep their limits."""
    index_ms, choose_ms = measure(cases, slowdown)
    everything = [time for times in choose_ms.values() for time in times]
    rows = [("index, fresh page", index_ms, INDEX_LIMIT_MS)]
    rows += [(f"choose, {kind}", times, CHOOSE_LIMIT_MS) for kind, times in choose_ms.items()]
    rows.append(("choose, all", everything, CHOOSE_LIMIT_MS))
    print(f"{MARKS} marks, {len(RING_SETS)} ring sets, Chromium at {slowdown}x CPU slowdown; ms")
    print(f"{'':20}{'runs':>6}{'median':>9}{'p99':>9}{'worst':>9}{'limit':>9}")
    for name, times, limit in rows:
        shown = at_share(times, 0.5), at_share(times, 0.99), max(times), limit * share_of_limit
        print(f"{name:20}{len(times):6}{''.join(f'{ms:9.2f}' for ms in shown)}")
    index_kept = at_share(index_ms, 0.5) <= INDEX_LIMIT_MS * share_of_limit
    return index_kept and at_share(everything, 0.99) <= CHOOSE_LIMIT_MS * share_of_limit


def main(arguments: list[str]) -> int:
    """Print both tables; return 1 where a limit is not kept at the slow speed."""
    cases = int(arguments[0]) if arguments else DEFAULT_CASES
    report(cases, 1, 1 / SLOWDOWN)
    return 0 if report(cases, SLOWDOWN, 1) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
