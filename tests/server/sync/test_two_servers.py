"""Two server processes on one PostgreSQL: nothing lost, nothing doubled, nothing skipped by a reader in between."""

import threading
import time
import uuid

import pytest
from sqlalchemy import select, text

from server.store import Database, schema, shops
from server.sync.take_entries import take
from tests.at_once import all_ended, begun, ended
from tests.live_server import START_LIMIT_S, LiveServer
from tests.server.live_phones import LiveApp
from tests.server.phones import Phone

pytestmark = pytest.mark.full

PHONES = 20
JOBS, ENTRIES = 2, 10  # of each phone


@pytest.fixture
def url(postgres):
    name = f"two{uuid.uuid4().hex[:8]}"
    yield postgres.create(name)
    postgres.drop(name)


@pytest.fixture
def database(url):
    database = Database(url)
    yield database
    database.close()


@pytest.fixture
def servers(url, tmp_path):
    """Two processes, started at the same moment on the empty database: they must not both make the shop."""
    pair = [LiveServer(tmp_path, environ={"DATABASE_URL": url}) for _ in range(2)]
    try:
        all_ended(LiveServer.start, pair, limit_s=START_LIMIT_S)
        with LiveApp(*(server.url for server in pair)) as app:
            yield app
    finally:
        for server in pair:
            server.stop()


def week_of(phone):
    return [[phone.entry(job) for _ in range(ENTRIES)] for job in (str(uuid.uuid4()) for _ in range(JOBS))]


def test_twenty_phones_at_two_processes_lose_and_double_nothing(servers, database):
    phones = [Phone(servers) for _ in range(PHONES)]
    reader, done = Phone(servers), threading.Event()
    at_start = {entry["id"] for entry in reader.sync_all()}
    weeks = [week_of(phone) for phone in phones]
    seen = []

    def send(phone, week):
        verdicts = []
        for batch in week:
            verdicts += [result["verdict"] for result in phone.sync(batch)["results"]]
            phone.sync(batch)  # the reply was lost: all of it once more
        return verdicts

    def read():
        while not done.is_set():
            seen.extend(reader.sync()["entries"])

    reading = begun(read)
    try:
        sent_by_each = ended(*[begun(send, *pair) for pair in zip(phones, weeks, strict=True)])
    finally:
        done.set()
        ended(reading)
    verdicts = [verdict for each in sent_by_each for verdict in each]
    seen += reader.sync_all()
    sent = {entry["id"] for week in weeks for batch in week for entry in batch}
    assert verdicts == ["accepted"] * len(sent)
    with database.transaction() as connection:
        rows = list(connection.execute(select(schema.entry.c.id, schema.entry.c.seq)))
        assert {row.id for row in rows} == sent | at_start
        assert sorted(row.seq for row in rows) == list(range(1, len(rows) + 1))
        assert shops.last_seq(connection) == len(rows)
    assert sorted(entry["id"] for entry in seen) == sorted(sent)


def wait_for_held(database, number, *calls):
    """Wait until so many of the servers' transactions wait for a lock, and see that none of the calls is through."""
    waiting = text(
        "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'"
    )
    deadline = time.monotonic() + 30
    while True:
        with database.snapshot() as connection:
            if connection.execute(waiting).scalar() >= number:
                break
        assert time.monotonic() < deadline, "nothing waits for the slow writer"
        time.sleep(0.02)
    assert not any(call.done() for call in calls)


def test_a_reader_between_a_slow_and_a_fast_writer_skips_nothing(servers, database):
    """Slow writer has its seq first and commits last; serial numbers would lose it. The reader waits for neither."""
    slow, fast, reader = Phone(servers), Phone(servers), Phone(servers)
    for phone in (slow, fast, reader):
        phone.sync_all()
    late, early = slow.entry(str(uuid.uuid4())), fast.entry(str(uuid.uuid4()))
    pairing = slow.client.get("/api/session").json["pairing"]
    with database.transaction() as connection:
        take(connection, pairing, slow.device, [late], time.time_ns() // 1_000_000)
        writing = begun(fast.sync, [early])
        wait_for_held(database, 1, writing)
        came = reader.sync()["entries"]
        assert came == []
    assert ended(writing)[0]["results"][0]["verdict"] == "accepted"
    came += reader.sync_all()
    assert sorted(entry["id"] for entry in came) == sorted([late["id"], early["id"]])
