"""Restores: into either database, whole or not at all, with the former content kept aside."""

import sqlite3
import uuid
from contextlib import closing

import pytest

from server.commands.backup import Trouble
from server.commands.restore import restore
from server.photos import pictures
from server.store import files, rows
from tests.server.databases import on_both_databases
from tests.server.phones import START_MS, Phone, problem
from tests.server.photos.test_photos import attach, encoded, name_of
from tests.server.stores import all_rows, backup_of, fill, quiet, rows_at


@pytest.fixture(params=["sqlite", "postgresql"])
def other_url(request, tmp_path):
    """Another store, empty, on either database."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path}/other/tapermark.db"
        return
    postgres, name = request.getfixturevalue("postgres"), f"other{uuid.uuid4().hex[:8]}"
    yield postgres.create(name)
    postgres.drop(name)


@on_both_databases
def test_a_backup_of_either_database_goes_back_into_either(app, phone, job, tmp_path, other_url):
    fill(phone, job)
    backup_of(app, tmp_path / "b")
    done = restore(other_url, tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    assert (done.entries, done.photos, done.seq, done.kept_aside) == (3, 1, 3, None)
    before, after = all_rows(app.extensions["database"]), rows_at(other_url)
    epochs = {rows.pop("shop")[0][3] for rows in (before, after)}
    assert [row[2] for row in after.pop("audit")] == [row[2] for row in before.pop("audit")] + ["restored"]
    assert after == before
    assert len(epochs) == 2


@on_both_databases
def test_what_the_store_held_is_kept_aside_and_can_be_restored_itself(make_app, tmp_path, job):
    app = make_app(DEMO_JOBS=False)
    phone = Phone(app)
    backup_of(app, tmp_path / "b")
    phone.sync([phone.entry(job)])
    url = app.config["DATABASE_URL"]
    lost = all_rows(app.extensions["database"])["entry"]
    app.extensions["database"].close()
    done = restore(url, tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    assert rows_at(url)["entry"] == []
    assert rows_at(done.kept_aside)["entry"] == lost
    restore(url, done.kept_aside, tmp_path / "aside2", START_MS, quiet)
    assert rows_at(url)["entry"] == lost


def damaged(path):
    content = bytearray(path.read_bytes())
    content[20_000:60_000] = bytes(40_000)
    path.write_bytes(content)


def of_another_program(path):
    path.unlink()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE songs (title)")


def of_a_newer_program(path):
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")


@on_both_databases
@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda path: path.unlink(), "is no file"),
        (lambda path: path.write_text("not a database at all, " * 100), "file is not a database"),
        (lambda path: path.write_bytes(b""), "no backup of Tapermark"),
        (damaged, "is damaged or no backup"),
        (of_another_program, "no backup of Tapermark"),
        (of_a_newer_program, "made by a newer program"),
    ],
    ids=["missing", "text", "empty", "damaged", "another program", "newer program"],
)
def test_what_is_no_backup_changes_nothing(app, phone, job, tmp_path, spoil, words):
    phone.sync([phone.entry(job)])
    backup_of(app, tmp_path / "b")
    spoil(tmp_path / "b")
    before = all_rows(app.extensions["database"])
    files_before = sorted(path.name for path in (tmp_path / "store").iterdir())
    with pytest.raises(Trouble, match=words):
        restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    assert all_rows(app.extensions["database"]) == before
    assert sorted(path.name for path in (tmp_path / "store").iterdir()) == files_before


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_a_sqlite_store_in_use_is_not_replaced(app, phone, job, tmp_path):
    phone.sync([phone.entry(job)])
    backup_of(app, tmp_path / "b")
    with pytest.raises(Trouble, match="stop the server"):
        restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    assert phone.sync([phone.entry(job)])["high_water"] == 2


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_what_a_killed_server_left_beside_the_store_is_not_replayed(app, phone, job, tmp_path):
    """A stale -wal would be taken for part of the restored file."""
    backup_of(app, tmp_path / "b")
    phone.sync([phone.entry(job)])
    folder = tmp_path / "killed"
    folder.mkdir()
    for suffix in ("", "-wal", "-shm"):  # as they lie on the disk while the server runs
        (folder / f"tapermark.db{suffix}").write_bytes((tmp_path / "store" / f"tapermark.db{suffix}").read_bytes())
    assert (folder / "tapermark.db-wal").stat().st_size > 0
    (folder / "tapermark.db").write_bytes(b"a disk fault" * 1000)
    url = f"sqlite:///{folder}/tapermark.db"
    restore(url, tmp_path / "b", folder / "aside", START_MS, quiet)
    assert {path.name for path in folder.iterdir()} == {"tapermark.db", "aside", "aside-wal", "aside-shm"}
    assert files.flaws(folder / "tapermark.db") == []
    assert rows_at(url)["entry"] == []


@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_a_store_copied_by_hand_with_its_newest_part_beside_it_is_taken_whole(phone, job, tmp_path):
    entry = phone.entry(job)
    phone.sync([entry])
    for suffix in ("", "-wal"):
        (tmp_path / f"copy{suffix}").write_bytes((tmp_path / "store" / f"tapermark.db{suffix}").read_bytes())
    restore(
        f"sqlite:///{tmp_path}/other/tapermark.db", tmp_path / "copy", tmp_path / "other" / "aside", START_MS, quiet
    )
    assert [row[0] for row in rows_at(tmp_path / "other" / "tapermark.db")["entry"]] == [entry["id"]]


@pytest.mark.parametrize("store", ["postgresql"], indirect=True)
def test_a_running_server_on_postgresql_goes_on_with_what_was_restored(app, phone, job, tmp_path):
    first = phone.entry(job)
    phone.sync([first])
    backup_of(app, tmp_path / "b")
    lost = phone.entry(job)
    phone.sync([lost])
    restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    answer = phone.sync()
    assert (answer["restart"], answer["high_water"], answer["entries"]) == (True, 1, [first])


@pytest.mark.parametrize("store", ["postgresql"], indirect=True)
def test_a_photo_on_its_way_while_the_server_is_restored_is_not_taken_for_held(app, phone, job, tmp_path, monkeypatch):
    backup_of(app, tmp_path / "b")
    content, re_encode = encoded(), pictures.re_encode

    def slow(bytes_sent):
        restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "aside", START_MS, quiet)
        return re_encode(bytes_sent)

    attach(phone, job, content)
    monkeypatch.setattr(pictures, "re_encode", slow)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (500, "server-fault")


@pytest.mark.parametrize("store", ["postgresql"], indirect=True)
def test_a_restore_that_fails_half_way_leaves_postgresql_as_it_was(app, phone, job, tmp_path, monkeypatch):
    phone.sync([phone.entry(job)])
    backup_of(app, tmp_path / "b")
    before = all_rows(app.extensions["database"])
    remove_all = rows.remove_all

    def fail(connection):
        remove_all(connection)
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(rows, "remove_all", fail)
    with pytest.raises(Trouble, match="No space left"):
        restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    assert all_rows(app.extensions["database"]) == before
