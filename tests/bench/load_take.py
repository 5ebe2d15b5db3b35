"""Taking entries against raw inserts of the same database in the same run; several server processes on one PostgreSQL.

A part of tests/bench/bench_load.py. Both are done in turn, a little each, so that what else the machine does slows
both; the processor's seconds, those of PostgreSQL with them, are steadier than the clock.
"""

import json
import statistics
import time
import uuid
from collections import Counter
from contextlib import ExitStack, contextmanager

from sqlalchemy import create_engine, insert, text

from server.api.entries import _joined
from server.records.entry_rules import as_kept, digest_of, judge
from server.store import Database, entries, schema, shops
from server.sync.sync import check_request, exchange
from server.web.bodies import read_json
from tests.at_once import meanwhile
from tests.bench.processor import processor_s
from tests.server.live_phones import LiveApp
from tests.server.loading import BATCH, ENTRIES_A_JOB, Backlog, NoPhotos, job_row, raw_row, send_all
from tests.server.phones import START_MS, Phone, an_entry

ROUNDS, BATCHES = 7, 3  # of each a round
PROCESSES = (1, 2, 4, 8)
PHONES, JOBS = 20, 5
SINGLY = 300
_LOOK_S = 0.02


def taking(place) -> None:
    """Print entries a second of raw inserts, of reading and judging alone, and of the whole way from body to answer."""
    raw, taken = (Database(place.url(name)) for name in ("raw-turns", "taken-turns"))
    found = {name: [] for name in ("raw", "judge", "take")}
    try:
        pairings = {}
        for database in (raw, taken):
            database.migrate()
            with database.transaction() as connection:
                shops.add_shop(connection, "bench", demo=False)
                pairings[database] = shops.add_pairing(connection, "bench", START_MS)
        device = str(uuid.uuid4())
        with raw.transaction() as connection:
            entries.add_devices(connection, {device: 0})
        with taken.transaction() as connection:
            row = shops.pairing_row(connection, pairings[taken])
        seq, since = 0, None
        for number in range(ROUNDS + 1):  # the first warms up
            bodies = [_body(device, seq + BATCH * k) for k in range(BATCHES)]
            costs = {"raw": _cost(place, lambda s=seq: _insert(raw, s, device, pairings[raw]))}
            costs["judge"] = _cost(place, lambda b=bodies: _judge(b))
            costs["take"] = _cost(place, lambda b=bodies, s=since: _take(taken, row, b, s))
            seq, since = seq + BATCH * BATCHES, _newest(taken)
            for name, cost in costs.items() if number else ():
                found[name].append(cost)
    finally:
        raw.close()
        taken.close()
    count = BATCH * BATCHES
    print(f"\n| taking entries, medians of {ROUNDS} turns | a second, clock | a second of the processor |")
    print("|---|---:|---:|")
    names = {"raw": "raw inserts", "judge": "parse, judge and digest alone", "take": "from body to answer"}
    for name, words in names.items():
        clock, busy = (statistics.median(count / cost[k] for cost in found[name]) for k in (0, 1))
        print(f"| {words} | {clock:,.0f} | {busy:,.0f} |")
    for k, what in enumerate(("clock", "processor")):
        ratio = statistics.median(r[k] / t[k] for r, t in zip(found["raw"], found["take"], strict=True))
        cap = statistics.median(r[k] / (r[k] + j[k]) for r, j in zip(found["raw"], found["judge"], strict=True))
        print(f"ratio to raw inserts by the {what}: {ratio:.2f}; parse, judge and digest alone cap it at {cap:.2f}")


def _cost(place, act) -> tuple[float, float]:
    """Return seconds of the clock, and of the processor here and in the database."""
    database_s, busy_s, began = place.database_s(), time.process_time(), time.perf_counter()
    act()
    clock = time.perf_counter() - began
    return clock, time.process_time() - busy_s + place.database_s() - database_s


def _body(device: str, start: int) -> bytes:
    batch = []
    for k in range(BATCH):
        if k % ENTRIES_A_JOB == 0:
            job = str(uuid.uuid4())
        value = {"value": f"answer {k}, as long as such answers usually are"}
        batch.append(an_entry("field-set", value, f"step.{k}", job=job, device=device, n=start + k + 1))
    return json.dumps({"device": device, "since": None, "entries": batch}).encode()


def _judge(bodies: list[bytes]) -> None:
    for body in bodies:
        for entry in read_json(body)["entries"]:
            raw = as_kept(entry)
            judge(entry, raw)
            digest_of(entry)


def _take(database: Database, row, bodies: list[bytes], since: dict | None) -> None:
    for body in bodies:
        request = read_json(body) | {"since": since}
        check_request(request)
        answer = exchange(database, row, request, START_MS)
        _joined(answer)
        since = answer["next"]


def _newest(database: Database) -> dict:
    with database.transaction() as connection:
        epoch = shops.epoch(connection)
        newest = schema.entry.select().order_by(schema.entry.c.seq.desc()).limit(1)
        found = connection.execute(newest).one()
    return {"epoch": epoch, "seq": found.seq, "id": found.id}


def _insert(database: Database, start: int, device: str, pairing: str) -> None:
    for first in range(start, start + BATCH * BATCHES, BATCH):
        rows = [raw_row(seq, device, pairing) for seq in range(first + 1, first + BATCH + 1)]
        with database.transaction() as connection:
            jobs = sorted({row["job"] for row in rows})
            connection.execute(insert(schema.job), [job_row(job, first, START_MS) for job in jobs])
            connection.execute(insert(schema.entry), rows)


def one_at_a_time(place) -> None:
    """Print what one saved value, and one pull with nothing new, cost the processor of server and PostgreSQL."""
    url = place.url("singly")
    with place.server("singly", url) as server, LiveApp(server.url) as app:
        phone, job = Phone(app), str(uuid.uuid4())
        token = phone.token()
        phone.token = lambda: token
        phone.sync_all()
        acts = {"a saved value": lambda: phone.sync([phone.entry(job)]), "a pull with nothing new": phone.sync}
        print("\n| one request | processor: server, PostgreSQL |\n|---|---:|")
        for name, act in acts.items():
            before = processor_s(server.pid), place.database_s()
            for _ in range(SINGLY):
                act()
            busy = processor_s(server.pid) - before[0], place.database_s() - before[1]
            print(f"| {name} | {' + '.join(f'{1000 * s / SINGLY:.1f} ms' for s in busy)} |", flush=True)


def several_processes(place) -> None:
    """Print how much 1, 2, 4 and 8 server processes take together, and what their transactions wait for meanwhile."""
    print("\n| processes | entries a second | processor: servers, PostgreSQL | busy | connections at work: in what |")
    print("|---:|---:|---|---:|---|")
    for number in PROCESSES:
        name = f"processes{number}"
        url = place.url(name)
        with ExitStack() as stack:
            servers = [stack.enter_context(place.server(name, url)) for _ in range(number)]
            app = stack.enter_context(LiveApp(*(server.url for server in servers)))
            backlogs = [Backlog(app, JOBS, NoPhotos()) for _ in range(PHONES)]
            before = sum(processor_s(server.pid) for server in servers), place.database_s()
            with watching(url) as seen:
                outcome = send_all(backlogs, with_photos=False)
            busy = sum(processor_s(server.pid) for server in servers) - before[0], place.database_s() - before[1]
        assert not outcome.wrong, outcome.wrong[:3]
        shares = ", ".join(f"{what} {100 * times // seen.total()} %" for what, times in seen.most_common(4))
        print(
            f"| {number} | {outcome.entries / outcome.entries_s:,.0f} | {busy[0]:.1f} s, {busy[1]:.1f} s |"
            f" {sum(busy) / outcome.entries_s:.1f} cores | {shares} |",
            flush=True,
        )


@contextmanager
def watching(url: str):
    """Count again and again, for as long as the block lasts, what the database's connections are in."""
    seen, engine = Counter(), create_engine(url, isolation_level="AUTOCOMMIT")
    asked = text(
        "SELECT CASE WHEN state = 'idle in transaction' THEN 'waits for the server'"
        " WHEN wait_event_type = 'Lock' THEN 'waits for the writers'' turn'"
        " WHEN wait_event IS NULL THEN 'computes' ELSE wait_event_type || ' ' || wait_event END"
        " FROM pg_stat_activity WHERE datname = current_database() AND state <> 'idle' AND pid <> pg_backend_pid()"
    )
    with engine.connect() as connection, meanwhile(lambda: seen.update(connection.scalars(asked)), _LOOK_S):
        yield seen
    engine.dispose()
