"""A shop of five times the jobs: as many statements, as long pages; on SQLite hardly more work where an index leads.

Counted, not timed, in one run: what else the machine does changes nothing. The clock's part is tests/bench/bench_load.
"""

import re

import pytest
from sqlalchemy import Engine, event

from tests.server.databases import on_both_databases
from tests.server.long_past import LongPast
from tests.server.phones import Phone
from tests.server.statements import heard

pytestmark = pytest.mark.full

SMALL, LARGE = 1_000, 5_000
STEPS = 100  # of SQLite's program, in one count
# How much more work five times the jobs may be. By an index a tree one level deeper; else every job is looked at.
BY_INDEX, ALL = 1.5, 7
MOST_LEARNING = 10  # statements, of which none reads an entry


def pages(jobs):
    plate, lot = LongPast.plate(jobs // 2), LongPast.lot(jobs // 2)
    return {
        "open job sheets": ("/desk/?state=open", ALL),  # they are counted
        "first job sheets": ("/desk/", ALL),
        "last job sheets": (f"/desk/?page={jobs // 50}", ALL),
        "search by registration": (f"/desk/?find={plate}", ALL),
        "search for nothing": ("/desk/?find=zzqqy", ALL),
        "one vehicle": (f"/desk/vehicles?find={plate}", BY_INDEX),
        "recall of a lot": (f"/desk/recall?lot={lot}", ALL),
        "recall of a ring set in all": ("/desk/recall?rings=demo-54", ALL),
        "learning": ("/desk/learning", BY_INDEX),
        "vehicle types": ("/desk/types/", BY_INDEX),
        "how long names are kept": ("/desk/keeping", ALL),
    }


class Work:
    """Counts the steps of SQLite's program."""

    def __init__(self):
        self.steps = 0

    def step(self):
        self.steps += 1

    def costs(self, client, path):
        self.steps = 0
        with heard() as asked:
            answer = client.get(path)
        assert answer.status_code == 200, answer.text
        return {"statements": len(asked), "steps": self.steps, "bytes": len(answer.data)}


@pytest.fixture
def work(app):
    """On connections that are opened from now on."""
    counted, engine = Work(), app.extensions["database"]._engine

    def hear(connection, _record):
        if engine.dialect.name == "sqlite":
            connection.set_progress_handler(counted.step, STEPS)

    event.listen(engine, "connect", hear)
    engine.dispose()
    return counted


@on_both_databases
def test_five_times_the_jobs_cost_no_more_statements_and_hardly_more_work(app, work):
    past, client = LongPast(app.extensions["database"]), Phone(app).client
    client.get("/api/session")
    cost = {}
    for jobs in (SMALL, LARGE):
        past.grow(jobs)
        for name, (path, _) in pages(jobs).items():
            client.get(path)  # what is derived when somebody looks is derived
            cost[name, jobs] = work.costs(client, path)
    for name, (_, most) in pages(LARGE).items():
        small, large = cost[name, SMALL], cost[name, LARGE]
        assert large["statements"] == small["statements"], (name, small, large)
        assert large["steps"] <= most * max(small["steps"], 20), (name, small, large)
        assert large["bytes"] <= 1.1 * small["bytes"] + 1_000, (name, small, large)
    assert cost["learning", LARGE]["statements"] <= MOST_LEARNING
    # once each of a page's 500 jobs was looked for among all parts: 124 times the list's work
    recalled, listed = (cost[name, LARGE]["steps"] for name in ("recall of a ring set in all", "first job sheets"))
    assert recalled <= 5 * listed


@on_both_databases
def test_learning_reads_each_job_once_and_again_when_it_has_changed(app, phone):
    past = LongPast(app.extensions["database"])
    past.grow(300)

    def entries_read():
        read = []

        def hear(_connection, _cursor, statement, parameters, *_rest):
            if "FROM entry" in statement and "kind" in statement:
                read.append(parameters)

        event.listen(Engine, "before_cursor_execute", hear)
        try:
            page = phone.client.get("/desk/learning").text
        finally:
            event.remove(Engine, "before_cursor_execute", hear)
        return re.sub(r'name="csrf_token" value="[^"]+"', "", page), read

    first, read = entries_read()
    assert read
    again, read = entries_read()
    assert (again, read) == (first, [])
    rows = phone.client.get(f"/api/jobs?registration={past.plate(299)}").json["jobs"]
    phone.sync([phone.entry(rows[0]["id"], "note-written")])
    changed, read = entries_read()
    assert (changed, len(read)) == (first, 1)
    assert entries_read() == (first, [])
