"""The store itself: its schema only grows, its settings protect what was acknowledged, its pulls use their indexes."""

import json
import re
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import event, text
from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg

from fixtures import make_schema
from server.store import Database, NewerStore, entries
from server.store.schema import metadata
from server.store.sync_state import Asked, look
from tests.server.databases import on_both_databases
from tests.server.statements import heard

SERVER = Path(__file__).resolve().parents[3] / "server"


def test_the_schema_is_that_of_the_snapshot():
    assert json.loads(make_schema.PATH.read_text("utf-8")) == make_schema.schema()


@on_both_databases
def test_the_migrations_make_what_the_tables_say(app):
    with app.extensions["database"].transaction() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_migrations_only_add():
    for path in (SERVER / "migrations" / "versions").glob("*.py"):
        source = path.read_text("utf-8")
        used = set(re.findall(r"op\.(\w+)", source))
        assert used <= {"create_table", "add_column", "create_index", "batch_alter_table", "execute", "f"}, path.name
        said = re.findall(r"op\.execute\(\s*\"(\w+ \w+)(?: SET (\w+))?", source)
        added = re.findall(r"op\.add_column\(\s*\"(\w+)\", sa\.Column\(\"(\w+)\"", source)
        filled = {(f"UPDATE {table}", column) for table, column in added}  # what it has added itself
        assert set(said) <= {("INSERT INTO", "")} | filled, path.name


def test_a_store_that_is_up_to_date_is_known_without_asking_the_migrations(sqlite_database):
    """By the names of their files, which therefore have to begin with the revisions in their order."""
    scripts = ScriptDirectory(str(SERVER / "migrations"))
    made = [f"{script.revision}_" for script in reversed(list(scripts.walk_revisions()))]
    names = sorted(path.name for path in (SERVER / "migrations" / "versions").glob("*.py"))
    assert [name[: len(revision)] for name, revision in zip(names, made, strict=True)] == made
    assert sqlite_database.revisions() == (scripts.get_current_head(), scripts.get_current_head())


@on_both_databases
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


@on_both_databases
def test_a_transaction_that_fails_leaves_nothing(app):
    database = app.extensions["database"]
    try:
        with database.transaction() as connection:
            entries.add_devices(connection, {"a device": 0})
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


def test_the_look_of_a_sync_finds_all_by_index_and_what_a_phone_owes_not_among_all_that_came(sqlite_database):
    asked = Asked("a pairing", ["a device"], 5, ["an id"], [1, 2], ["a job"], ["a digest"], ["a photo"])
    with sqlite_database.transaction() as connection, heard() as statements:
        look(connection, asked)
        statement = re.sub(r":\w+|\?", "1", statements[0])
        plan = [row.detail for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}")]
    whole = {line for line in plan if line.startswith("SCAN") and "INDEX" not in line}
    assert whole <= {"SCAN shop", "SCAN newest", "SCAN missing", "SCAN CONSTANT ROW"}, plan
    newest = [line for line in plan if line.startswith("SCAN entry")]
    assert newest == ["SCAN entry USING INDEX sqlite_autoindex_entry_2"], plan


def test_a_store_from_a_newer_program_is_not_touched(sqlite_database):
    """An unknown revision stops the start: an older program must not write into tables that it does not know."""
    with sqlite_database.transaction() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(NewerStore, match="comes from a newer program"):
        sqlite_database.migrate()


def test_a_connection_that_died_while_it_rested_is_replaced_and_one_just_used_is_not_asked(postgres, monkeypatch):
    now, asked, ping = [100.0], [], PGDialect_psycopg.do_ping
    monkeypatch.setattr("server.store.database.monotonic", lambda: now[0])
    monkeypatch.setattr(PGDialect_psycopg, "do_ping", lambda *given: asked.append(given) or ping(*given))
    store, other = (Database(postgres.url("postgres")) for _ in range(2))
    who = text("SELECT pg_backend_pid()")
    with store.transaction() as connection:
        own = connection.scalar(who)
    with store.transaction() as connection:
        assert (connection.scalar(who), asked) == (own, [])
    with other.transaction() as connection:
        assert connection.scalar(text("SELECT pg_terminate_backend(:own, 5000)"), {"own": own})
    now[0] += 1.5
    with store.transaction() as connection:
        assert connection.scalar(who) != own
    assert len(asked) == 1
    other.close()
    store.close()
