"""The desk's pages in a shop of 1,000, 10,000 and 100,000 jobs. A part of tests/bench/bench_load.py."""

import statistics
import time

from server import create_app
from tests.server.long_past import LongPast
from tests.server.phones import BufferedClient, Phone
from tests.server.statements import heard

SIZES = (1_000, 10_000, 100_000)
MOST_MS = 300  # of a page with the largest past
REPEATS = 5


def pages(jobs: int) -> dict[str, str]:
    """Return name -> address; what is looked for is found as often in every past."""
    plate, lot = LongPast.plate(jobs // 2), LongPast.lot(jobs // 2)
    return {
        "job sheets, first page": "/desk/",
        "job sheets, last page": f"/desk/?page={jobs // 50}",
        "open ones": "/desk/?state=open",
        "search: a registration": f"/desk/?find={plate}",
        "search: words in every job": "/desk/?find=orrin+estate",
        "search: nothing has it": "/desk/?find=zzqqy",
        "search: a month": "/desk/?from=2025-01-01&to=2025-02-01",
        "history of a vehicle": f"/desk/vehicles?find={plate}",
        "history, asked by a phone": f"/api/jobs?registration={plate}",
        "recall of a lot": f"/desk/recall?lot={lot}",
        "recall of a ring set in all": "/desk/recall?rings=demo-54",
        "learning": "/desk/learning",
        "rechecks": "/desk/rechecks",
    }


def desk(place, sizes=SIZES) -> None:
    """Print of each page the clock's median and the processor's milliseconds, those of PostgreSQL with them."""
    app = create_app({"STORE_FOLDER": place.folder / "desk", "DATABASE_URL": place.url("desk"), "DEMO_JOBS": False})
    app.test_client_class = BufferedClient
    client, past, found = Phone(app).client, LongPast(app.extensions["database"]), {}
    for jobs in sizes:
        past.grow(jobs)
        for name, path in pages(jobs).items():
            with heard():
                assert client.get(path).status_code == 200, path  # what is derived when somebody looks is derived
            with heard() as asked:
                client.get(path)
            found[name, jobs] = (*_cost(place, lambda path=path: client.get(path)), len(asked))
    app.extensions["database"].close()
    print(f"\n| desk page, ms clock / ms of the processor / statements | {' | '.join(f'{n:,} jobs' for n in sizes)} |")
    print("|---|" + "---:|" * len(sizes))
    for name in pages(1):
        row = (found[name, jobs] for jobs in sizes)
        print(f"| {name} | " + " | ".join(f"{clock:.0f} / {busy:.0f} / {n}" for clock, busy, n in row) + " |")
    over = [name for name in pages(1) if found[name, sizes[-1]][1] > MOST_MS]
    print(f"above {MOST_MS} ms of the processor: {', '.join(over) or 'none'}", flush=True)


def _cost(place, act) -> tuple[float, float]:
    times, busy = [], time.process_time() + place.database_s()
    for _ in range(REPEATS):
        began = time.perf_counter()
        act()
        times.append(time.perf_counter() - began)
    busy = time.process_time() + place.database_s() - busy
    return 1000 * statistics.median(times), 1000 * busy / REPEATS
