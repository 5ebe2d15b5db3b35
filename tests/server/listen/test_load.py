"""A tenth of a shop's worst evening: 20 phones with four jobs each sync at once against one server process."""

import pytest
from sqlalchemy import func, select

from server.store import Database, schema
from tests.live_server import LiveServer
from tests.server.live_phones import LiveApp
from tests.server.loading import ENTRIES_A_JOB, MOST_GROWTH, PHOTOS_A_JOB, Backlog, PhotoMaker, peak_memory, send_all
from tests.server.phones import Phone

PHONES, JOBS = 20, 4


@pytest.fixture
def served(store):
    """A server process on the test's store, and its database."""
    database = Database.of_file(store["STORE_FOLDER"] / "tapermark.db")
    with LiveServer(store["STORE_FOLDER"], environ={"DATABASE_URL": ""}) as server:
        yield server, database
    database.close()


def number_of(database, table):
    with database.transaction() as connection:
        return connection.scalar(select(func.count()).select_from(table))


@pytest.mark.full
@pytest.mark.parametrize("store", ["sqlite"], indirect=True)  # on PostgreSQL: test_two_servers.py, and all in the bench
def test_twenty_phones_at_once_are_all_served(served):
    server, database = served
    maker, at_rest = PhotoMaker(), peak_memory(server.pid)
    with LiveApp(server.url) as app:
        backlogs = [Backlog(app, JOBS, maker) for _ in range(PHONES)]
        outcome = send_all(backlogs)
        assert outcome.wrong == []
        assert number_of(database, schema.entry) == PHONES * JOBS * ENTRIES_A_JOB
        assert number_of(database, schema.photo) == PHONES * JOBS * PHOTOS_A_JOB
        assert peak_memory(server.pid) - at_rest < MOST_GROWTH
        for backlog in backlogs:
            answer = backlog.phone.sync()
            assert (answer["high_water"], answer["wanted_photos"]) == (len(backlog.entries), [])
        everything = {entry["id"] for backlog in backlogs for entry in backlog.entries}
        assert {entry["id"] for entry in Phone(app).sync_all()} == everything
