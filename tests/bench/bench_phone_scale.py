"""What a shop's past costs on the phone: first pull, new job, saved answer, opening a job and the list, by known jobs.

    .venv/bin/python -m tests.bench.bench_phone_scale [--jobs 10 100 300 1000] [--open-every 5] [--limit-s 900]
        [--fittings 10 1000 10000] [--vehicles 20000] [--slowdown 4]

A real server with a store of so many jobs of the last month, 150 entries each, and a real Chromium on loopback. The
phone holds the open ones whole, one of five unless `--open-every` says otherwise, and of the others lines. The first
pull runs at full speed, all else at a quarter of it, or as `--slowdown` says. Times are medians, each from the tap to
the screen that follows it; beside them stands the processor time of the page's main thread, which other programs on the
machine hardly change.
With `--vehicles` the shop also knows so many from the years before, and the first pull ends when the phone knows them.
`usable` is when the first jobs stand in the list, `kept` what the browser then holds on the disk, `heap` the script's
memory after a collection, at the end.
Then, by known fittings, what the shop's history costs: to keep what a pull brought, page by page, and to look up one
registration; with `--jobs 0` that alone. The last line is JSON. It measures and judges; it tests no result.
"""

import argparse
import json
import math
import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from server import create_app
from server.api.fittings import PAGE as FITTINGS_PAGE
from tests.bench.past_month import ENTRIES_A_JOB, OPEN_EVERY, PastMonth
from tests.browser import launch_options
from tests.live_server import ROOT, LiveServer

sys.path.insert(0, str(ROOT / "tests" / "pwa"))

from app_driver import PHONE_SIZE, open_app

SIZES = (10, 100, 300, 1000)
SLOWDOWN = 4  # a quarter of the speed
ROUNDS = 5
QUIET_MS = 1500  # after an act, so that sync and what it draws are counted with it and hinder no other
# Goals by jobs, in ms: the first pull at full speed, a new job at a quarter of it.
PULL_GOALS_MS, NEW_JOB_GOAL_MS = {300: 10_000, 1000: 35_000}, 150
COUNTS = (ROOT / "tests" / "pwa" / "idb-counts.js").read_text("utf-8")
# Gives the ms from the tap until the screen of an address like `place` is drawn.
TAP = """async ([key, place]) => {
    const main = document.getElementById("main");
    const from = location.hash;
    const isThere = () => main.dataset.place === location.hash && new RegExp(place).test(location.hash);
    const arrived = () => location.hash !== from && isThere();
    const began = performance.now();
    return new Promise((resolve) => {
        const drawn = new MutationObserver(() => {
            if (!arrived()) return;
            drawn.disconnect();
            resolve(performance.now() - began);
        });
        drawn.observe(main, { attributes: true, attributeFilter: ["data-place"] });
        document.querySelector(`[data-key="${key}"]`).click();
    });
}"""
PULLED = "expected => globalThis.idbCounts.now().entryPuts >= expected && performance.now()"
# The headings of the groups count their jobs.
LISTED = """jobs => {
    const headings = [...document.querySelectorAll('[data-key^="jobs-"] > h2')];
    const counts = headings.map((h2) => Number(/\\d+/.exec(h2.textContent)));
    return counts.reduce((sum, count) => sum + count, 0) >= jobs && performance.now();
}"""
# The shop's history comes last; until then the lines' database may not be there.
HISTORY_HERE = """async ([count, limitMs]) => {
    const { Lines } = await import("/js/store/lines.js");
    const isMade = async () => (await indexedDB.databases()).some(({ name }) => name === "tapermark-lines");
    const end = performance.now() + limitMs;
    while (!(await isMade()) || (await new Lines().position()).at < count) {
        if (performance.now() > end) throw new Error(`the phone does not know ${count} vehicles after ${limitMs} ms`);
        await new Promise((resolve) => setTimeout(resolve, 100));
    }
    return performance.now();
}"""
FIRST_CARD = "() => document.querySelector('[data-key=\"jobs-open\"] .job-card') && performance.now()"
STANDS = "() => document.querySelector('[data-key=\"new-job\"]')"
WHOLE = "() => performance.getEntriesByName('whole-program-here').length"
# At start: tapped as soon as the button is drawn, while the rest of the program is still being read.
ACTS = ("new_job", "new_job_after_reload", "new_job_at_start", "answer", "open_job", "list")
SHEET = "/job/[^/]+/sheet/|/job/[^/]+$"
# Gives the ms from leaving a field until the sheet says that it is answered.
ANSWER = """async (slot) => {
    const row = document.querySelector(`[data-key="row-${slot}"]`);
    const began = performance.now();
    return new Promise((resolve) => {
        const answered = new MutationObserver(() => {
            if (row.dataset.state !== "done") return;
            answered.disconnect();
            resolve(performance.now() - began);
        });
        answered.observe(row, { attributes: true, attributeFilter: ["data-state"] });
        document.activeElement.blur();
    });
}"""
PLATE = "vehicle.registration"
FITTINGS = (10, 1_000, 10_000)
LOOKED_UP = 40
# Keeps so many fittings, paged as `GET /api/fittings` has them, and looks vehicles up: ms of all pages, of the longest,
# of each look-up.
HISTORY = """async ([count, page, looks]) => {
    const { Lines } = await import("/js/store/lines.js");
    const digest = async (text) => {
        const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)));
        return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("").slice(0, 32);
    };
    const bolts = { new: true, length_mm: 45, class: "10.9" };
    const wheel = { ring_set: "demo-54", table: "0".repeat(64), pair: [12, 31], round: 1, seen: true, bolts };
    const rows = await Promise.all(Array.from({ length: count }, async (_, n) => ({
        job: crypto.randomUUID(), at: n + 1, day: "2026-11-25", left: wheel, right: wheel,
        keys: [await digest(`epoch:registration:TM${n}`), await digest(`epoch:vin:WTM${n}`)],
    })));
    const lines = new Lines({ name: `bench-${count}` });
    const pulls = [];
    for (let at = 0; at < count; at += page) {
        const began = performance.now();
        const next = { epoch: "epoch", at: Math.min(count, at + page) };
        await lines.takeFittings({ fittings: rows.slice(at, at + page), next });
        pulls.push(performance.now() - began);
    }
    const took = [];
    for (let k = 0; k < looks; k += 1) {
        const began = performance.now();
        const found = await lines.fittingsOf({ registration: `tm ${(k * 7919) % count}`, vin: "" });
        took.push(performance.now() - began);
        if (found.length !== 1) throw new Error(`expected one vehicle, got ${found.length}`);
    }
    await lines.keepOnly([]);
    return { pulled: pulls.reduce((sum, ms) => sum + ms, 0), page: Math.max(...pulls), took };
}"""


class ScalePhone:
    """One phone in a fresh context, throttled where asked."""

    def __init__(self, browser, url: str):
        self.context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, is_mobile=True, locale="en-GB")
        self.context.add_init_script(COUNTS)
        self.page: Page = self.context.new_page()
        self._url = url
        self._cdp = self.context.new_cdp_session(self.page)
        self._cdp.send("Performance.enable", {"timeDomain": "threadTicks"})

    def processor_ms(self) -> float:
        metrics = self._cdp.send("Performance.getMetrics")["metrics"]
        return 1000 * next(each["value"] for each in metrics if each["name"] == "TaskDuration")

    def first_pull(self, jobs: int, open_jobs: int, vehicles: int, limit_s: float) -> dict:
        """Return the ms until a job stands in the list, every entry of an open job is stored, every job is in the list,
        and every vehicle is known.
        """
        limit = {"timeout": limit_s * 1000, "polling": 250}
        self.driver = open_app(self.context, self._url)
        began, busy = self.page.evaluate("performance.now()"), self.processor_ms()
        usable = self.page.wait_for_function(FIRST_CARD, **limit).json_value() - began
        pulled = self.page.wait_for_function(PULLED, arg=open_jobs * ENTRIES_A_JOB, **limit).json_value() - began
        listed = self.page.wait_for_function(LISTED, arg=jobs, **limit).json_value() - began
        busy = self.processor_ms() - busy
        known = self.page.evaluate(HISTORY_HERE, [vehicles, limit["timeout"]]) - began
        times = {"usable_ms": usable, "pulled_ms": pulled, "listed_ms": listed, "history_ms": known}
        times = {name: round(ms) for name, ms in times.items()}
        return times | {"listed_processor_ms": round(busy), "kept_mb": self._kept_mb()}

    def _kept_mb(self) -> float:
        return round(self.page.evaluate("async () => (await navigator.storage.estimate()).usage") / 1e6, 1)

    def heap_mb(self) -> float:
        self._cdp.send("HeapProfiler.collectGarbage")
        return round(self._cdp.send("Runtime.getHeapUsage")["usedSize"] / 1e6, 1)

    def slow_down(self, slowdown: float) -> None:
        self.page.wait_for_function(WHOLE, timeout=60_000)
        self._cdp.send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
        self.page.wait_for_timeout(QUIET_MS)

    def tap(self, key: str, place: str) -> tuple[float, float, dict]:
        """Return the ms of a tap, those of the processor in it, and what it read until all was quiet again."""
        return self._timed(TAP, [key, place])

    def _timed(self, act: str, arg) -> tuple[float, float, dict]:
        before, busy = self.page.evaluate("globalThis.idbCounts.now()"), self.processor_ms()
        ms = self.page.evaluate(act, arg)
        busy = self.processor_ms() - busy
        self.page.wait_for_timeout(QUIET_MS)
        return ms, busy, self.page.evaluate("before => globalThis.idbCounts.since(before)", before)

    def rounds(self) -> dict[str, list]:
        """A new job, an answer to its first row, the list, an earlier job, then a new job right after a reload."""
        found = {name: [] for name in ACTS}
        for _ in range(ROUNDS):
            found["new_job"].append(self.tap("new-job", SHEET))
            self.driver.fill(f"text-{PLATE}", "QX 41 LTM")
            found["answer"].append(self._timed(ANSWER, PLATE))
            found["list"].append(self._to_list())
            earlier = self.page.locator('[data-key="jobs-open"] .job-card:not(.line-card)').last.get_attribute(
                "data-key"
            )
            found["open_job"].append(self.tap(earlier, SHEET))
            self._to_list()
            for name, ready in (("new_job_at_start", STANDS), ("new_job_after_reload", WHOLE)):
                self.page.reload()
                self.page.wait_for_function(ready, timeout=60_000)
                found[name].append(self.tap("new-job", SHEET))
                self._to_list()
        return found

    def _to_list(self) -> tuple[float, float, dict]:
        self.page.evaluate("""() => {
            const way = Object.assign(document.createElement("a"), { href: "#/" });
            way.dataset.key = "bench-way";
            document.getElementById("main").append(way);
        }""")
        return self.tap("bench-way", "^#/$")


def measure(browser, url: str, jobs: int, chosen: argparse.Namespace) -> dict:
    phone = ScalePhone(browser, url)
    open_jobs = math.ceil(jobs / chosen.open_every)
    row = {"jobs": jobs, **phone.first_pull(jobs, open_jobs, chosen.vehicles, chosen.limit_s)}
    phone.slow_down(chosen.slowdown)
    for name, taps in phone.rounds().items():
        row[f"{name}_ms"] = round(statistics.median(ms for ms, _, _ in taps))
        row[f"{name}_least_ms"] = round(min(ms for ms, _, _ in taps))
        row[f"{name}_processor_ms"] = round(statistics.median(busy for _, busy, _ in taps))
        counts = [each for _, _, each in taps]
        row[f"{name}_idb"] = {what: statistics.median_low(each[what] for each in counts) for what in counts[0]}
    row["heap_mb"] = phone.heap_mb()
    phone.context.close()
    return row


def measure_history(browser, url: str, sizes: list[int], slowdown: float) -> list[dict]:
    """Return for each number of fittings the ms of keeping them all, of the longest page, and of a look-up."""
    phone = ScalePhone(browser, url)
    open_app(phone.context, url)
    phone.slow_down(slowdown)
    rows = []
    for size in sizes:
        found = phone.page.evaluate(HISTORY, [size, FITTINGS_PAGE, LOOKED_UP])
        row = {"fittings": size, "kept_ms": round(found["pulled"]), "longest_page_ms": round(found["page"])}
        look_up = {"look_up_ms": statistics.median(found["took"]), "look_up_least_ms": min(found["took"])}
        rows.append(row | {name: round(ms, 1) for name, ms in look_up.items()})
        print(rows[-1], flush=True)
    phone.context.close()
    return rows


def growth(rows: list[dict]) -> str:
    """Return how a look-up and a fitting's share of a pull grow from the first size to each."""
    first = rows[0]
    said = [
        f"{row['fittings']:,}: look-up {row['look_up_least_ms'] / first['look_up_least_ms']:.1f}, "
        f"a fitting {row['kept_ms'] / row['fittings'] / (first['kept_ms'] / first['fittings']):.2f}"
        for row in rows[1:]
    ]
    return f"times of {first['fittings']}: " + "; ".join(said)


def table(rows: list[dict]) -> str:
    """Return the rows in ms, each with the processor's in brackets, and what an answer asks of IndexedDB."""
    acts = ["listed", *ACTS]
    reads = ["transactions", "requests", "records", "entries"]
    plain = {"jobs": "jobs", "usable": "usable_ms", "pulled": "pulled_ms", "history": "history_ms"}
    plain |= {"kept MB": "kept_mb", "heap MB": "heap_mb"}
    lines = ["| " + " | ".join([*plain, *acts, *(f"{what} an answer" for what in reads)]) + " |"]
    lines.append("|" + "---:|" * (len(plain) + len(acts) + len(reads)))
    for row in rows:
        times = [f"{row[f'{act}_ms']:,} ({row[f'{act}_processor_ms']:,})" for act in acts]
        counts = [f"{row['answer_idb'][what]:,}" for what in reads]
        lines.append("| " + " | ".join([*(f"{row[name]:,}" for name in plain.values()), *times, *counts]) + " |")
    return "\n".join(lines)


def goals_kept(rows: list[dict]) -> bool:
    pulls = all(row["listed_ms"] <= PULL_GOALS_MS.get(row["jobs"], row["listed_ms"]) for row in rows)
    return pulls and all(max(row["new_job_ms"], row["new_job_after_reload_ms"]) <= NEW_JOB_GOAL_MS for row in rows)


def main() -> int:
    about = __doc__.splitlines()[0]
    parser = argparse.ArgumentParser(prog="python -m tests.bench.bench_phone_scale", description=about)
    parser.add_argument("--jobs", type=int, nargs="+", default=SIZES, help="default: 10 100 300 1000")
    parser.add_argument("--open-every", type=int, default=OPEN_EVERY, help="one job of so many; default: %(default)s")
    parser.add_argument("--fittings", type=int, nargs="+", default=FITTINGS, help="default: 10 1000 10000")
    parser.add_argument("--vehicles", type=int, default=0, help="of the years before; default: %(default)s")
    parser.add_argument("--limit-s", type=float, default=900, help="longest first pull; default: %(default)s")
    parser.add_argument("--slowdown", type=float, default=SLOWDOWN, help="times, after the pull; default: %(default)s")
    chosen = parser.parse_args()
    rows = []
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        create_app({"STORE_FOLDER": Path(folder), "DEMO_JOBS": False})
        with LiveServer(Path(folder)) as server:
            past = PastMonth(Path(folder), open_every=chosen.open_every)
            past.add_vehicles(chosen.vehicles)
            browser = playwright.chromium.launch(**launch_options())
            for jobs in sorted(filter(None, chosen.jobs)):
                past.grow(jobs)
                past.derive()
                rows.append(measure(browser, server.url, jobs, chosen))
                print(table(rows[-1:]), flush=True)
            history = measure_history(browser, server.url, sorted(chosen.fittings), chosen.slowdown)
            browser.close()
            past.close()
    print(table(rows) if rows else "")
    print(growth(history))
    print(json.dumps({"rows": rows, "history": history, "goals_kept": goals_kept(rows)}))
    return 0 if goals_kept(rows) else 1


if __name__ == "__main__":
    sys.exit(main())
