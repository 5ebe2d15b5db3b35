"""The phone's speed in one table: sizes, Lighthouse, cold start without network, taps during a job.

Run as `python -m tests.bench.bench_speed [sizes] [lighthouse] [cold] [taps]`; without a name all four. It measures and
judges; it tests no result. Run it on a machine with nothing else to do: a busy one makes every time longer.
"""

import statistics
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "pwa"), str(Path(__file__).parent)]

import speed_cold  # noqa: E402 the tests' drivers are found by the line above
import speed_lighthouse  # noqa: E402
import speed_taps  # noqa: E402
from start_modules import PWA, first_files, start_modules  # noqa: E402

from calc.rings.rings import RingSet  # noqa: E402
from calc.rings.table import table_bytes  # noqa: E402
from server.web.compressed import compressed  # noqa: E402
from server.web.shell import shell_files  # noqa: E402
from tests.bench.bench_choose_browser import RING_SETS  # noqa: E402

RUNS = 5
SHELL_LIMIT, TABLE_LIMIT = 100_000, 9_000
COLD_LIMIT_MS, COLD_LIMIT_TIMES, SHEET_LIMIT_MS = 1000, 3, 600
TAP_LIMIT_MS = 50
DEAREST = 10


def row(name: str, measured: float, limit: float | None, unit: str, at_least: bool = False) -> bool:
    """Print one line of the table; return whether the limit is kept."""
    kept = limit is None or (measured >= limit if at_least else measured <= limit)
    wanted = "" if limit is None else f"{'at least' if at_least else 'at most':>9} {limit:g}"
    print(f"{name:44}{measured:10g} {unit:7}{wanted:16}{'' if kept else ' NOT KEPT'}", flush=True)
    return kept


def brotli_size(contents) -> int:
    return sum(len(compressed(content, "br")) for content in contents)


def sizes(_playwright) -> list[bool]:
    kept = []
    for language in ("en", "es"):
        shell = brotli_size(file.read_bytes() for file in first_files(language))
        kept.append(row(f"shell of the first screen, {language}, brotli", shell, SHELL_LIMIT, "bytes"))
    row("modules of the first screen", len(start_modules()), None, "files")
    everything = brotli_size(file.read_bytes() for file in shell_files(PWA).values())
    row("all that the phone keeps, brotli", everything, None, "bytes")
    tables = [len(compressed(table_bytes(RingSet.from_json(each)), "br")) for each in RING_SETS]
    return [*kept, row("largest table of 72 marks, brotli", max(tables), TABLE_LIMIT, "bytes")]


def lighthouse(playwright) -> list[bool]:
    found = speed_lighthouse.scores(playwright, RUNS)
    return [
        row(f"Lighthouse, {page}, {category}", score, 100, "", at_least=True)
        for page, scores in found.items()
        for category, score in scores.items()
    ]


def cold(playwright) -> list[bool]:
    times = speed_cold.cold_openings(playwright, RUNS)
    ms = {page: statistics.median(each) for page, each in times.items()}
    slow = f"at {speed_cold.SLOWDOWN}x"
    row(f"cold start, empty page, {slow}", round(ms["empty page"]), None, "ms")
    return [
        row(f"cold start, left at a sheet, {slow}", round(ms["sheet"]), SHEET_LIMIT_MS, "ms"),
        row(f"the same, until every row answers, {slow}", round(ms["sheet whole"]), None, "ms"),
        row(f"cold start, jobs, {slow}", round(ms["jobs"]), COLD_LIMIT_MS, "ms"),
        row("cold start, jobs against empty page", round(ms["jobs"] / ms["empty page"], 2), COLD_LIMIT_TIMES, "times"),
    ]


def taps(playwright) -> list[bool]:
    """Processor time of the main thread, times the slowdown."""
    found = speed_taps.taps_of_a_job(playwright)
    slow = f"at {speed_taps.SLOWDOWN}x"
    painted, drawn = ([speed_taps.SLOWDOWN * getattr(tap, name) for tap in found] for name in ("first_ms", "ms"))
    row("taps of a whole job that answer or type", len(found), None, "")
    row(f"until the sheet is drawn anew, median, {slow}", round(statistics.median(drawn)), None, "ms")
    row(f"until the answer is painted, median, {slow}", round(statistics.median(painted)), None, "ms")
    row(f"taps above {TAP_LIMIT_MS} ms, {slow}", sum(ms > TAP_LIMIT_MS for ms in painted), None, "")
    print(f"the {DEAREST} dearest, {slow}, until the answer is painted and until the sheet is drawn anew:")
    for tap in sorted(found, key=lambda tap: -tap.first_ms)[:DEAREST]:
        print(f"  {tap.name:60}{speed_taps.SLOWDOWN * tap.first_ms:6.0f} ms{speed_taps.SLOWDOWN * tap.ms:6.0f} ms")
    return [row(f"the dearest tap, {slow}", round(max(painted)), TAP_LIMIT_MS, "ms")]


def main(names: list[str]) -> int:
    parts = {part.__name__: part for part in (sizes, lighthouse, cold, taps)}
    unknown = set(names) - parts.keys()
    if unknown:
        print(f"expected {', '.join(parts)}, got {', '.join(sorted(unknown))}", file=sys.stderr)
        return 2
    with sync_playwright() as playwright:
        kept = [each for name in names or parts for each in parts[name](playwright)]
    return 0 if all(kept) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
