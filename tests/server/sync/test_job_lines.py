"""Each job's line has a place among all lines in the order of their changes: given when it changes, never twice."""

import uuid
from importlib import import_module

import pytest
from alembic.migration import MigrationContext
from alembic.operations import Operations
from sqlalchemy import text

from server.commands.restore import restore
from server.store import schema
from server.sync.derive import derive_due
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.phones import START_MS
from tests.server.stores import backup_of, quiet, rows_at, rows_of

REGISTRATION = "vehicle.registration"


def places(app):
    """Return job -> the place of its line, and the last place given."""
    (counter,) = rows_of(app, schema.counter)
    return {row["id"]: row["line_at"] for row in rows_of(app, schema.job)}, counter["lines"]


def plate(phone, job, value):
    return phone.entry(job, "field-set", {"value": value}, REGISTRATION)


@on_both_databases
def test_every_change_of_a_line_gives_it_the_next_place(app, clock, phone, job):
    other = str(uuid.uuid4())
    phone.sync([plate(phone, job, "AB 1"), plate(phone, other, "AB 2")])
    assert (sorted(places(app)[0].values()), places(app)[1]) == ([1, 2], 2)
    derive_due(app.extensions["database"])  # which finds the registrations
    assert (sorted(places(app)[0].values()), places(app)[1]) == ([3, 4], 4)
    phone.sync([phone.entry(job, "job-signed", {"covers": []})])
    assert (places(app)[0][job], places(app)[1]) == (5, 5)
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, job, clock())
    assert (places(app)[0][job], places(app)[1]) == (6, 6)
    phone.sync([plate(phone, job, "AB 3")])
    assert (places(app)[0][job], places(app)[1]) == (7, 7)


@on_both_databases
def test_what_changes_no_line_gives_no_place(app, phone, job):
    sent = [plate(phone, job, "AB 1"), phone.entry(job)]
    phone.sync(sent)
    derive_due(app.extensions["database"])
    before = places(app)
    phone.sync(sent)  # all of it is here already
    derive_due(app.extensions["database"])
    assert places(app) == before
    phone.sync([phone.entry(job)])  # a note: the line says another time and seq, deriving finds nothing new
    derive_due(app.extensions["database"])
    assert places(app) == ({job: before[1] + 1}, before[1] + 1)


@on_both_databases
def test_a_batch_of_new_and_old_jobs_gives_each_its_own_place(app, phone):
    jobs = [str(uuid.uuid4()) for _ in range(7)]
    phone.sync([phone.entry(job) for job in jobs[:4]])
    known = phone.entry(jobs[0])
    phone.sync([known])
    phone.sync([known, *(phone.entry(job) for job in jobs[2:])])
    found, last = places(app)
    assert len(set(found.values())) == len(jobs)
    assert (found[jobs[0]], max(found.values())) == (5, last)
    assert last == 10


@on_both_databases
def test_places_come_back_with_a_backup(app, phone, job, tmp_path):
    phone.sync([plate(phone, job, "AB 1")])
    derive_due(app.extensions["database"])
    backup_of(app, tmp_path / "b")
    restore(f"sqlite:///{tmp_path}/other/tapermark.db", tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    again = rows_at(tmp_path / "other" / "tapermark.db")
    columns = [column.name for column in schema.job.columns]
    assert {row[0]: row[columns.index("line_at")] for row in again["job"]} == places(app)[0] == {job: 2}
    assert [row[-1] for row in again["counter"]] == [2]


@pytest.mark.parametrize("is_empty", [True, False])
@on_both_databases
def test_the_lines_of_an_older_store_get_places(app, phone, is_empty):
    for _ in range(0 if is_empty else 3):
        phone.sync([phone.entry(str(uuid.uuid4())) for _ in range(2)])
    with app.extensions["database"].transaction() as connection:
        for index in ("job_by_line", "backup_by_seq"):
            connection.execute(text(f"DROP INDEX {index}"))
        for table, column in (("job", "line_at"), ("counter", "lines")):
            connection.execute(text(f"ALTER TABLE {table} DROP COLUMN {column}"))
        with Operations.context(MigrationContext.configure(connection)):
            import_module("server.migrations.versions.0014_job_line").upgrade()
    found, last = places(app)
    assert sorted(found.values()) == ([] if is_empty else [1, 2, 3, 4, 5, 6])
    assert last == len(found)
    phone.sync([phone.entry(job := str(uuid.uuid4()))])
    assert places(app)[0][job] == last + 1
