"""The store itself: its schema only grows, its settings protect what was acknowledged, its pulls use their indexes."""

import json
import re
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import event, text

from fixtures import make_schema
from server.store import Database, NewerStore, entries, photos
from server.store.schema import metadata

SERVER = Path(__file__).resolve().parent.parent.parent / "server"


def test_the_schema_is_that_of_the_snapshot():
    assert json.loads(make_schema.PATH.read_text("utf-8")) == make_schema.schema()


def test_the_migrations_make_what_the_tables_say(app):
    with app.extensions["database"].transaction() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_migrations_only_add():
    for path in (SERVER / "migrations" / "versions").glob("*.py"):
        source = path.read_text("utf-8")
        used = set(re.findall(r"op\.(\w+)", source))
        assert used <= {"create_table", "add_column", "create_index", "batch_alter_table", "execute", "f"}, path.name
        assert set(re.findall(r"op\.execute\(\s*\"(\w+ \w+)", source)) <= {"INSERT INTO"}, path.name


def test_a_second_start_changes_nothing(make_app, phone, job):
    phone.sync([phone.entry(job)])
    before = phone.client.get("/api/session").json["epoch"]
    again = make_app()
    client = again.test_client()
    assert client.get("/api/session").json["epoch"] == before
    assert len(client.get(f"/api/jobs/{job}/entries").json["entries"]) == 1


@pytest.fixture
def sqlite_database(tmp_path):
    """A SQLite database of its own, whatever the other tests run on."""
    database = Database(f"sqlite:///{tmp_path}/own.db")
    database.migrate()
    yield database
    database.close()


def test_sqlite_keeps_what_was_acknowledged_through_a_power_cut(sqlite_database):
    with sqlite_database.transaction() as connection:
        read = {name: connection.execute(text(f"PRAGMA {name}")).scalar() for name in
                ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")}  # fmt: skip
    assert read == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 30_000}


def test_a_transaction_that_fails_leaves_nothing(app):
    database = app.extensions["database"]
    try:
        with database.transaction() as connection:
            entries.add_devices(connection, None, set())
            connection.execute(text("UPDATE counter SET value = 77"))
            raise RuntimeError("in the middle")
    except RuntimeError:
        pass
    with database.transaction() as connection:
        assert connection.execute(text("SELECT value FROM counter")).scalar() == 0


def test_only_the_store_speaks_sql():
    allowed = {"IntegrityError", "Connection"}
    for path in SERVER.rglob("*.py"):
        if path.parent.name == "store" or "migrations" in path.parts:
            continue
        for names in re.findall(r"from sqlalchemy[\w.]* import (.+)", path.read_text("utf-8")):
            assert {name.strip() for name in names.split(",")} <= allowed, path
        assert "import sqlalchemy" not in path.read_text("utf-8"), path


def test_the_rules_know_neither_flask_nor_sql():
    for name in ("sync.py", "fold.py"):
        source = (SERVER / name).read_text("utf-8")
        assert "flask" not in source.lower().replace("no flask", "")
        assert "sqlalchemy" not in source


def test_a_page_is_found_by_index_and_not_by_reading_everything(sqlite_database):
    """SQLite's own plan for the statement of a page; PostgreSQL has the same indexes."""
    asked = []
    with sqlite_database.transaction() as connection:
        event.listen(connection, "before_cursor_execute", lambda *said: asked.append(said[2:4]))
        entries.page(connection, 5, 5, 501)
        statement, parameters = asked[0]
        plan = [row.detail for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)]
    read = [line for line in plan if line.startswith(("SCAN", "SEARCH"))]
    assert any("entry_by_job (job=? AND seq>?)" in line for line in read), plan
    assert not any(line.startswith("SCAN entry") or line == "SCAN job" for line in read), plan


def test_what_a_phone_still_owes_is_not_looked_for_among_all_that_came(sqlite_database):
    asked = []
    with sqlite_database.transaction() as connection:
        event.listen(connection, "before_cursor_execute", lambda *said: asked.append(said[2]))
        assert photos.wanted(connection, "a pairing") == []
    assert "photo_awaited" in asked[0]
    assert not re.search(r"\bentry\b", asked[0])


def test_entries_without_photos_ask_nothing_about_photos(sqlite_database):
    asked = []
    with sqlite_database.transaction() as connection:
        event.listen(connection, "before_cursor_execute", lambda *said: asked.append(said[2]))
        photos.await_photos(connection, [{"device": "a device", "photo": None}])
    assert asked == []


def test_a_store_from_a_newer_program_is_not_touched(sqlite_database):
    """An unknown revision stops the start: an older program must not write into tables that it does not know."""
    with sqlite_database.transaction() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(NewerStore, match="comes from a newer program"):
        sqlite_database.migrate()
