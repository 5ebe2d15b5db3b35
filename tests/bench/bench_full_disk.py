"""The real application on a disk that runs full, N times with the browser's promise to keep its storage and N without.

    python -m tests.bench.bench_full_disk --runs 20 --ways full --minutes 90

Takes root, for each run has a disk of its own. tests/faults/full_disk.py says what a run is. It ends by itself when the
minutes are over, and says how many runs there were; one that is broken off is told with its reason and not counted.
"""

import argparse
import shutil
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "pwa"))  # the driver of the screens

from tests import live_server  # noqa: E402
from tests.browser import launch_options  # noqa: E402
from tests.faults.disk_run import Run  # noqa: E402
from tests.faults.full_disk import WAYS, FullDisk  # noqa: E402
from tests.faults.small_disk import can_mount  # noqa: E402
from tests.patience import bound_every_call  # noqa: E402

COLUMNS = (
    "promise", "way", "runs", "starts full", "starts with room", "program whole", "database full", "database room",
    "notes", "lost", "photos", "lost", "runs with a loss", "told", "untrue words",
)  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=20, help="of each kind")
    parser.add_argument("--ways", nargs="+", choices=WAYS, default=["full"])
    parser.add_argument("--minutes", type=float, default=60, help="no run begins later")
    chosen = parser.parse_args()
    if not can_mount():
        sys.exit("bench_full_disk: expected root, to mount a small disk; run it as root on Linux")
    live_server.START_LIMIT_S = 180  # a busy machine is slow, not wrong
    bound_every_call()
    print_table(make_runs(chosen.runs, chosen.ways, time.monotonic() + 60 * chosen.minutes))


def make_runs(count: int, ways: list[str], end: float) -> list[Run]:
    made: list[Run] = []
    kinds = [(number, way, kept) for number in range(count) for way in ways for kept in (True, False)]
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
        live_server.LiveServer(Path(folder) / "store") as server,
    ):
        for number, way, kept in kinds:
            if time.monotonic() > end:
                break
            disk = Path(folder) / f"disk-{number}-{way}-{kept}"
            try:
                made.append(FullDisk(playwright.chromium, launch_options(), disk, server, number).run(kept, way))
                print(told(made[-1]), flush=True)
            except Exception:  # as a driver that got no answer; the others are runs all the same
                print(f"broken off, and not counted, {'kept' if kept else 'not kept'}, {way}:", flush=True)
                traceback.print_exc()
                server.stop()
                server.start()
            shutil.rmtree(disk, ignore_errors=True)
    return made


def told(run: Run) -> str:
    losses = f"lost {run.lost_notes} of {len(run.saved)} notes, {run.lost_photos} of {len(run.photos)} photos"
    said = ", told" if run.is_told else ""
    looks = [f"\n  {look.when}: {look.words or look.why!r}" for look in run.looks] if run.lies else []
    return f"{'kept' if run.kept else 'not kept'}, {run.way}: {losses}{said} {run.lies or ''}{''.join(looks)}"


def print_table(made: list[Run]) -> None:
    print("\n| " + " | ".join(COLUMNS) + " |\n|" + "---|" * len(COLUMNS))
    for kept, way in sorted(Counter((run.kept, run.way) for run in made), key=str):
        runs = [run for run in made if (run.kept, run.way) == (kept, way)]
        losses = [run for run in runs if run.lost_notes + run.lost_photos]
        full = "full" if way == "freed" else "restarted, still full"
        room = "restarted" if way == "freed" else "restarted, with room"

        def count(holds, when, runs=runs):
            return sum(bool((look := run.look(when)) and holds(run, look)) for run in runs)

        starts = lambda _run, look: look.words is not None  # noqa: E731
        row = (
            "yes" if kept else "no", way, len(runs), count(starts, full), count(starts, room),
            count(lambda run, look: look.files >= run.files, room),
            count(Run.is_whole, full), count(Run.is_whole, room),
            sum(len(run.saved) for run in runs), sum(run.lost_notes for run in runs),
            sum(len(run.photos) for run in runs), sum(run.lost_photos for run in runs),
            len(losses), sum(run.is_told for run in losses), sum(bool(run.lies) for run in runs),
        )  # fmt: skip
        print("| " + " | ".join(map(str, row)) + " |")


if __name__ == "__main__":
    main()
