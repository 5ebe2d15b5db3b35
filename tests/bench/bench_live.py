"""What a phone at work costs the server: a pull with nothing new, and one value saved. Run by hand, some minutes:

    .venv/bin/python -m tests.bench.bench_live [--on postgresql] [--most 100000]

1. A pull with nothing new by a phone that was up to date at 2,000 jobs, after the shop's past has grown to each size.
2. One value sent from a job of each length, with the cursor at the newest entry and with another phone writing between.

Each is the whole request, in this process, without a network: milliseconds of the clock and of the processor
(this process alone), and statements, each the median of many.
"""

import argparse
import statistics
import sys
import tempfile
import time
import uuid
from contextlib import ExitStack
from pathlib import Path

from server import create_app
from server.store import Database
from tests.bench.bench_load import Past, Place
from tests.postgres import Cluster
from tests.server.phones import BufferedClient, Phone
from tests.server.statements import heard

FEWEST_JOBS, MOST_JOBS = 2_000, 100_000
LENGTHS = (10, 100, 1_000, 5_000)
BATCH, REPEATS = 500, 40


def quiet_pulls(app, database: Database, most: int) -> None:
    print("\n| jobs on the server | pull with nothing new | of the processor | statements |")
    print("|---:|---:|---:|---:|")
    past, phone = Past(database), Phone(app)
    token = phone.token()
    for jobs in (FEWEST_JOBS, most):
        past.grow(jobs)
        if database.sqlite_file is None:
            with database.transaction() as connection:
                connection.exec_driver_sql("ANALYZE")  # as PostgreSQL does by itself within a minute
        if jobs == FEWEST_JOBS:
            phone.sync_all()
        times = [measured(sent, phone, token, []) for _ in range(REPEATS)]
        print(f"| {jobs:,} | {shown(times)} |", flush=True)


def live_saves(app) -> None:
    print("\n| entries of the job | another phone | one value saved | of the processor | statements |")
    print("|---:|---|---:|---:|---:|")
    for length in LENGTHS:
        phone, other, job = Phone(app), Phone(app), str(uuid.uuid4())
        own, others = phone.token(), other.token()
        sheet = [value(phone, job, number) for number in range(length)]
        for start in range(0, length, BATCH):
            sent(phone, own, sheet[start : start + BATCH])
        phone.sync_all()
        for between in ("rests", "writes"):
            times = []
            for number in range(REPEATS):
                if between == "writes":
                    sent(other, others, [value(other, job, number)])
                times.append(measured(sent, phone, own, [value(phone, job, number)]))
            print(f"| {length:,} | {between} | {shown(times)} |", flush=True)


def value(phone: Phone, job: str, number: int) -> dict:
    return phone.entry(job, "field-set", {"value": f"answer {number}, as long as such are"}, f"step.{number}")


def sent(phone: Phone, token: str, entries: list) -> None:
    body = {"device": phone.device, "since": phone.cursor, "entries": entries, "unsent": 0}
    answer = phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": token})
    assert answer.status_code == 200, answer.text
    phone.cursor = answer.json["next"]


def measured(act, *arguments) -> tuple[float, float, int]:
    """Return (ms of the clock, ms of the processor, statements)."""
    with heard() as statements:
        wall, processor = time.perf_counter(), time.process_time()
        act(*arguments)
        wall, processor = time.perf_counter() - wall, time.process_time() - processor
    return 1000 * wall, 1000 * processor, len(statements)


def shown(times: list) -> str:
    wall, processor, number = (statistics.median(column) for column in zip(*times, strict=True))
    return f"{wall:.2f} ms | {processor:.2f} ms | {number:.0f}"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.bench_live", description=__doc__.splitlines()[0])
    parser.add_argument("--on", choices=["sqlite", "postgresql"], default="sqlite", help="default: %(default)s")
    parser.add_argument("--most", type=int, default=MOST_JOBS, help="jobs of the larger past; default: %(default)s")
    chosen = parser.parse_args()
    with ExitStack() as stack:
        cluster = stack.enter_context(Cluster(safe=True)) if chosen.on == "postgresql" else None
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="tapermark-live-")))
        for name, act in (("past", lambda a, d: quiet_pulls(a, d, chosen.most)), ("live", lambda a, _: live_saves(a))):
            url = Place(folder, cluster).url(name)
            app = create_app({"STORE_FOLDER": folder / name, "DATABASE_URL": url, "DEMO_JOBS": False})
            app.test_client_class = BufferedClient
            act(app, app.extensions["database"])
            app.extensions["database"].close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
