"""Photos out of the way: beside a SQLite database as files, copied by backups once, never before an entry's turn."""

import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from PIL import Image
from sqlalchemy import select, update

from server.commands.backup import Trouble, make_backup
from server.commands.restore import restore
from server.limits import DAY_MS
from server.listen import limits
from server.photos import keep_photo
from server.store import Database, files, photos, schema
from server.store.photo_files import PhotoFiles, beside
from server.sync.erase import erase_job
from tests.at_once import begun, ended
from tests.server.commands.test_restore import other_url  # noqa: F401 a fixture
from tests.server.databases import on_both_databases
from tests.server.listening import LIMIT_S, listening
from tests.server.phones import START_MS, Phone
from tests.server.pictures_to_send import attach, encoded, keep, name_of, picture
from tests.server.statements import heard
from tests.server.stores import backup_of, quiet, rows_of

DAYS = 14
on_sqlite = pytest.mark.parametrize("store", ["sqlite"], indirect=True)


def a_picture(number):
    return encoded(picture(64 + number, 48))


def files_in(folder):
    return sorted(path for path in folder.rglob("*") if path.is_file())


def old_store(app):
    """Put the bytes of all photos into their rows, as the program before kept them, and take the files away."""
    database = app.extensions["database"]
    with database.transaction() as connection:
        for row in connection.execute(select(schema.photo.c.sha256, schema.photo.c.etag)).all():
            is_one = schema.photo.c.sha256 == row.sha256
            connection.execute(update(schema.photo).where(is_one).values(content=database.photo_files.read(row.etag)))
    shutil.rmtree(database.photo_files.folder)


@on_sqlite
def test_a_picture_is_a_file_for_its_owner_alone_and_its_row_is_small(app, phone, job):
    kept = keep(phone, job, a_picture(1))
    (row,) = rows_of(app, schema.photo)
    (path,) = files_in(app.extensions["database"].photo_files.folder)
    assert (path.name, path.read_bytes(), row["content"]) == (f"{row['etag']}.jpg", kept, b"")
    if os.name == "posix":
        assert [each.stat().st_mode & 0o077 for each in (path, path.parent, path.parent.parent)] == [0, 0, 0]


@on_sqlite
def test_an_entry_is_saved_while_a_pictures_file_is_being_written(app, phone, second_phone, job, monkeypatch):
    content, put, is_writing, may_go_on = a_picture(1), PhotoFiles.put, threading.Event(), threading.Event()

    def slow(self, etag, written):
        is_writing.set()
        assert may_go_on.wait(LIMIT_S)
        put(self, etag, written)

    attach(phone, job, content)
    monkeypatch.setattr(PhotoFiles, "put", slow)
    sending = begun(phone.put_photo, name_of(content), content)
    try:
        assert is_writing.wait(LIMIT_S)
        answer = second_phone.sync([second_phone.entry(job)])
        assert answer["results"][0]["verdict"] == "accepted"
        assert len(rows_of(app, schema.photo)) == 0
    finally:
        may_go_on.set()
        ended(sending)
    assert len(rows_of(app, schema.photo)) == 1


def test_pictures_that_wait_for_one_another_leave_every_other_thread_free():
    may_go_on, waiting = threading.Event(), threading.Semaphore(0)

    def answer(environ):
        if environ["PATH_INFO"].startswith("/api/photos/"):
            waiting.release()
            assert may_go_on.wait(LIMIT_S)
        return b"whole"

    def ask(served, method, path):
        with served.connect(f"127.0.0.{len(asking) % 200 + 2}") as client:
            client.sendall(f"{method} {path} HTTP/1.1\r\nHost: x\r\nContent-Length: 0\r\n\r\n".encode())
            return client.recv(4_096)

    asking = []
    with listening(most=1_000) as served:
        served.answer = answer
        try:
            for _ in range(limits.THREADS + 4):
                asking.append(begun(ask, served, "PUT", "/api/photos/a"))
            for _ in range(limits.PICTURE_THREADS):
                assert waiting.acquire(timeout=LIMIT_S)
            assert b"200 OK" in ask(served, "POST", "/api/entries")
            assert not waiting.acquire(blocking=False), "no more pictures at once than have threads"
        finally:
            may_go_on.set()
            ended(*asking)


@on_both_databases
def test_a_fortnight_of_backups_holds_each_photo_once_and_copies_only_the_new(app, phone, job, tmp_path):
    sizes, folder = [], tmp_path / "nightly"
    for day in range(DAYS):
        sizes.append(len(keep(phone, job, a_picture(day))))
        made = backup_of(app, folder / f"{day:02}")
        assert (made.photos, made.brought, made.brought_bytes) == (day + 1, 1, sizes[-1])
    assert sum(path.stat().st_size for path in files_in(folder / "photos")) == sum(sizes)
    with heard() as asked:
        assert backup_of(app, folder / "again").brought == 0
    assert not any("SELECT photo.content" in statement for statement in asked), "bytes that are there are not read"


@on_sqlite
def test_on_one_disk_a_backups_photo_takes_no_room(app, phone, job, tmp_path):
    keep(phone, job, a_picture(1))
    backup_of(app, tmp_path / "b")
    (own,), (copied,) = files_in(app.extensions["database"].photo_files.folder), files_in(tmp_path / "photos")
    assert os.path.samefile(own, copied)


@on_sqlite
def test_where_a_disk_knows_no_second_names_photos_are_copied(app, phone, job, tmp_path, monkeypatch):
    kept = keep(phone, job, a_picture(1))

    def link(_source, _target):
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", link)
    assert backup_of(app, tmp_path / "b").brought == 1
    (copied,) = files_in(tmp_path / "photos")
    assert copied.read_bytes() == kept
    if os.name == "posix":
        assert copied.stat().st_mode & 0o077 == 0


@on_both_databases
def test_a_backup_and_its_folder_carried_elsewhere_bring_every_picture_back(app, phone, job, tmp_path, other_url):  # noqa: F811
    contents = [a_picture(number) for number in range(3)]
    kept = [keep(phone, job, content) for content in contents]
    backup_of(app, tmp_path / "b")
    (tmp_path / "stick").mkdir()
    for name in ("b", "photos"):
        shutil.move(tmp_path / name, tmp_path / "stick" / name)
    done = restore(other_url, tmp_path / "stick" / "b", tmp_path / "other" / "aside", START_MS, quiet)
    assert (done.photos, done.lost) == (3, 0)
    shutil.rmtree(tmp_path / "stick")
    assert pictures_at(other_url) == sorted(kept)


def pictures_at(url):
    database = Database(url)
    try:
        with database.snapshot() as connection:
            return sorted(photos.kept(connection, row.sha256)[1] for row in photos.each(connection))
    finally:
        database.close()


@on_sqlite
def test_a_backup_of_the_program_before_has_its_pictures_inside_and_goes_back(app, phone, job, tmp_path, other_url):  # noqa: F811
    kept = keep(phone, job, a_picture(1))
    old_store(app)
    files.create_private(tmp_path / "old")
    files.copy_live(app.extensions["database"].sqlite_file, tmp_path / "old", quiet)
    done = restore(other_url, tmp_path / "old", tmp_path / "other" / "aside", START_MS, quiet)
    assert (done.photos, done.lost) == (1, 0)
    assert pictures_at(other_url) == [kept]


@on_sqlite
def test_an_old_stores_pictures_leave_the_database_with_the_next_backup(app, phone, job, tmp_path):
    large = encoded(Image.frombytes("RGB", (1_600, 1_200), os.urandom(1_600 * 1_200 * 3)))
    kept = keep(phone, job, large)
    old_store(app)
    assert phone.client.get(f"/api/photos/{name_of(large)}").data == kept
    made = backup_of(app, tmp_path / "b")
    assert [row["content"] for row in rows_of(app, schema.photo)] == [b""]
    assert phone.client.get(f"/api/photos/{name_of(large)}").data == kept
    assert (made.brought, made.brought_bytes) == (1, len(kept))
    assert made.size < len(kept), "the pages that it left free are not copied"
    assert files.flaws(tmp_path / "b") == []


@on_sqlite
@pytest.mark.parametrize("is_erased", [False, True])
def test_who_dies_while_an_old_picture_becomes_a_file_leaves_none_that_no_row_names(
    app, clock, phone, job, tmp_path, is_erased
):
    """Killed between the file and its row; afterwards the file is taken, or it is erased with the row."""
    kept, database = keep(phone, job, a_picture(1)), app.extensions["database"]
    old_store(app)
    dying = (
        "import os, sys; from server.photos.keep_photo import move_out_of_rows; from server.store import Database;"
        " from server.store.photo_files import PhotoFiles; put = PhotoFiles.put;"
        " PhotoFiles.put = lambda *given: (put(*given), os._exit(9)); move_out_of_rows(Database(sys.argv[1]))"
    )
    url = app.config["DATABASE_URL"]
    assert subprocess.run([sys.executable, "-c", dying, url], timeout=LIMIT_S, check=False).returncode == 9
    assert len(files_in(database.photo_files.folder)) == 1
    if is_erased:
        with database.transaction() as connection:
            erase_job(connection, job, clock())
        assert files_in(database.photo_files.folder) == []
        return
    assert phone.client.get(f"/api/photos/{name_of(a_picture(1))}").data == kept
    assert backup_of(app, tmp_path / "b").brought == 1
    assert [row["content"] for row in rows_of(app, schema.photo)] == [b""]
    assert len(files_in(database.photo_files.folder)) == 1


@on_sqlite
def test_what_is_erased_while_old_pictures_become_files_leaves_no_file(app, clock, phone, job, monkeypatch):
    """Cause: a picture that had been read, and was erased before its turn, was written as a file of no row."""
    keep(phone, job, a_picture(1))
    other = keep_in_another_job(phone, a_picture(2))
    old_store(app)
    database, read = app.extensions["database"], photos.in_rows

    def erased_behind_it(*given):
        rows = read(*given)
        if rows:
            ended(begun(erase_now, database, other, clock()))
        return rows

    monkeypatch.setattr(photos, "in_rows", erased_behind_it)
    keep_photo.move_out_of_rows(database)
    (row,) = rows_of(app, schema.photo)
    assert [path.stem for path in files_in(database.photo_files.folder)] == [row["etag"]]


def erase_now(database, job, now_ms):
    with database.transaction() as connection:
        erase_job(connection, job, now_ms)


@on_both_databases
def test_a_backup_walks_once_through_the_folder_of_photos(app, phone, job, tmp_path, monkeypatch):
    keep(phone, job, a_picture(1))
    walked, etags = [], PhotoFiles.etags

    def counted(self):
        walked.append(self.folder)
        return etags(self)

    monkeypatch.setattr(PhotoFiles, "etags", counted)
    assert backup_of(app, tmp_path / "b").brought == 1
    assert walked == [tmp_path / "photos"]


@on_sqlite
def test_an_old_picture_that_is_not_what_it_was_stays_and_holds_up_nothing(app, phone, job, tmp_path):
    for number in range(10):
        keep(phone, job, a_picture(number))
    old_store(app)
    bad = sorted(row["sha256"] for row in rows_of(app, schema.photo))[0]
    with app.extensions["database"].transaction() as connection:
        connection.execute(update(schema.photo).where(schema.photo.c.sha256 == bad).values(content=b"spoilt"))
    assert backup_of(app, tmp_path / "b").brought == 9
    assert {row["sha256"]: row["content"] for row in rows_of(app, schema.photo) if row["content"]} == {bad: b"spoilt"}


@on_both_databases
def test_without_its_folder_a_backup_is_refused_and_with_an_empty_one_phones_are_asked(app, phone, job, tmp_path):
    content = a_picture(1)
    keep(phone, job, content)
    backup_of(app, tmp_path / "b")
    shutil.move(tmp_path / "photos", tmp_path / "lost")
    database, url = app.extensions["database"], app.config["DATABASE_URL"]
    if database.photo_files:
        shutil.rmtree(database.photo_files.folder)
        database.close()
    before = rows_of(app, schema.shop)
    app.extensions["database"].close()
    with pytest.raises(Trouble, match=f"folder with them, {tmp_path / 'photos'}, is not beside it"):
        restore(url, tmp_path / "b", tmp_path / "store" / "aside", START_MS, quiet)
    assert rows_of(app, schema.shop) == before
    app.extensions["database"].close()
    (tmp_path / "photos").mkdir()
    done = restore(url, tmp_path / "b", tmp_path / "store" / "aside", START_MS, quiet)
    assert (done.photos, done.lost) == (0, 1)
    assert phone.sync()["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).status_code == 201


@on_both_databases
def test_each_copied_photo_is_read_again_in_its_turn_and_brought_anew_where_it_is_spoilt(app, phone, job, tmp_path):
    kept, database = keep(phone, job, a_picture(1)), app.extensions["database"]
    backup_of(app, tmp_path / "0")
    (copied,) = files_in(tmp_path / "photos")
    copied.unlink()  # on one disk it is the store's own
    copied.write_bytes(bytes(len(kept)))
    brought = [
        make_backup(database, tmp_path / str(1 + night), START_MS + night * DAY_MS, quiet).brought
        for night in range(30)
    ]
    assert sorted(brought) == [0] * 29 + [1]
    assert copied.read_bytes() == kept


@on_sqlite
@pytest.mark.parametrize("is_spoilt", [False, True])
def test_what_the_store_has_lost_is_told_and_the_rest_is_in_the_backup(app, phone, job, tmp_path, is_spoilt):
    content, kept = a_picture(1), keep(phone, job, a_picture(2))
    keep(phone, job, content)
    database = app.extensions["database"]
    etag = {row["sha256"]: row["etag"] for row in rows_of(app, schema.photo)}[name_of(content)]
    own = next(path for path in files_in(database.photo_files.folder) if path.stem == etag)
    if is_spoilt:
        own.write_bytes(bytes(own.stat().st_size))
    else:
        own.unlink()
    made = backup_of(app, tmp_path / "b")
    assert (made.lost, made.photos, made.brought) == ([name_of(content)], 2, 1)
    other = f"sqlite:///{tmp_path}/other/tapermark.db"
    assert restore(other, tmp_path / "b", tmp_path / "other" / "aside", START_MS, quiet).lost == 1
    assert pictures_at(other) == [kept]


@on_sqlite
def test_erasing_takes_the_file_but_not_one_that_another_photo_shares(app, clock, phone, job):
    """The same picture with another comment in it is another photo, and the same file."""
    first = a_picture(1)
    second = first[:2] + b"\xff\xfe\x00\x06abcd" + first[2:]
    other = keep_in_another_job(phone, second)
    keep(phone, job, first)
    database = app.extensions["database"]
    assert len(files_in(database.photo_files.folder)) == 1
    for erased, left in ((job, 1), (other, 0)):
        with database.transaction() as connection:
            assert erase_job(connection, erased, clock()).photos == 1
        assert len(files_in(database.photo_files.folder)) == left


def keep_in_another_job(phone, content):
    job = "99999999-9999-4999-8999-999999999999"
    keep(phone, job, content)
    return job


@on_sqlite
def test_a_full_disk_leaves_no_half_picture(app, phone, job, monkeypatch):
    content = a_picture(1)
    attach(phone, job, content)

    def full(_handle):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("server.store.photo_files.os.fsync", full)
        assert phone.put_photo(name_of(content), content).status_code == 507
    assert files_in(app.extensions["database"].photo_files.folder) == []
    assert phone.put_photo(name_of(content), content).status_code == 201


@on_sqlite
def test_a_file_that_somebody_has_erased_between_is_written_again_with_its_row(app, phone, job, monkeypatch):
    content, database = a_picture(1), app.extensions["database"]
    attach(phone, job, content)
    ahead = keep_photo.put_ahead

    def erased_after(database, kept):
        ahead(database, kept)
        database.photo_files.remove([name_of(kept.content)])

    monkeypatch.setattr("server.api.photos.put_ahead", erased_after)
    assert phone.put_photo(name_of(content), content).status_code == 201
    (row,) = rows_of(app, schema.photo)
    assert database.photo_files.is_sound(row["etag"])


def test_folders_of_photos_are_told_by_the_file_that_they_lie_beside():
    assert beside(Path("a") / "tapermark.db").folder == beside(Path("a") / "x.backup").folder == Path("a") / "photos"


@on_sqlite
def test_a_phone_whose_store_came_from_before_the_photo_is_asked_for_it(make_app, tmp_path, job):
    app = make_app(DEMO_JOBS=False)
    phone, content = Phone(app), a_picture(1)
    entry, _ = attach(phone, job, content)
    backup_of(app, tmp_path / "b")
    assert phone.put_photo(name_of(content), content).status_code == 201
    app.extensions["database"].close()
    restore(app.config["DATABASE_URL"], tmp_path / "b", tmp_path / "store" / "aside", START_MS, quiet)
    assert phone.sync([entry])["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).status_code == 201
