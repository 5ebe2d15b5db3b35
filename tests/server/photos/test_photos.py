"""Photos on their way: only wanted, whole ones are taken, once; only live ones are shown, to whoever is paired."""

import io
import json
from importlib import import_module

import pytest
from alembic.migration import MigrationContext
from alembic.operations import Operations
from PIL import Image
from sqlalchemy import select, text

from server.limits import LARGEST_PHOTO
from server.photos import pictures
from server.store import photos, schema
from server.sync.erase import erase_job
from tests.at_once import all_ended
from tests.server.databases import on_both_databases
from tests.server.phones import Phone, problem
from tests.server.pictures_to_send import attach, encoded, keep, name_of, picture


@on_both_databases
def test_a_photo_is_wanted_until_it_has_come(phone, job):
    content = encoded()
    assert attach(phone, job, content)[1]["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).json == {"format": 1, "sha256": name_of(content), "held": True}
    assert phone.sync()["wanted_photos"] == []


@on_both_databases
def test_a_photo_that_is_here_is_not_wanted_again(phone, second_phone, job):
    content = encoded()
    keep(phone, job, content)
    assert attach(second_phone, job, content)[1]["wanted_photos"] == []


@on_both_databases
def test_a_store_of_the_program_before_learns_at_the_start_what_is_missing(app, phone, job):
    came, missing = encoded(picture(20, 10)), encoded(picture(30, 10))
    keep(phone, job, came)
    attach(phone, job, missing)
    database = app.extensions["database"]
    with database.transaction() as connection:
        connection.execute(text("DROP TABLE photo_awaited"))
        with Operations.context(MigrationContext.configure(connection)):
            import_module("server.migrations.versions.0005_photo_awaited").upgrade()
    assert phone.sync()["wanted_photos"] == [name_of(missing)]


def test_the_pixels_are_those_of_the_photo(phone, job):
    sent = picture(320, 240)
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(sent))))
    assert kept.size == sent.size
    worst = max(max(abs(a - b) for a, b in zip(kept.getpixel(at), sent.getpixel(at), strict=True))
                for at in ((10, 10), (300, 10), (10, 230), (300, 230), (100, 60)))  # fmt: skip
    assert worst <= 4


@on_both_databases
def test_a_photo_sent_twice_is_kept_once(app, phone, job):
    content = encoded()
    attach(phone, job, content)
    assert [phone.put_photo(name_of(content), content).status_code for _ in range(2)] == [201, 200]
    with app.extensions["database"].transaction() as connection:
        assert len(list(connection.execute(select(schema.photo)))) == 1


@on_both_databases
def test_a_photo_whose_job_is_erased_while_it_is_decoded_leaves_nothing(app, phone, job, clock, monkeypatch):
    content, read = encoded(), pictures.re_encode

    def erased_meanwhile(content):
        with app.extensions["database"].transaction() as connection:
            erase_job(connection, job, clock())
        return read(content)

    attach(phone, job, content)
    monkeypatch.setattr("server.api.photos.pictures.re_encode", erased_meanwhile)
    answer = phone.put_photo(name_of(content), content)
    assert problem(answer) == "photo-not-wanted"
    database = app.extensions["database"]
    assert database.photo_files is None or not list(database.photo_files.etags())
    with database.snapshot() as connection:
        assert photos.held_of(connection, [name_of(content)]) == set()


@on_both_databases
def test_identical_photos_of_two_entries_are_accepted(phone, second_phone, job):
    content = encoded()
    attach(phone, job, content)
    attach(second_phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 201
    assert second_phone.put_photo(name_of(content), content).status_code == 200


@on_both_databases
def test_the_same_photo_sent_by_threads_at_once_is_kept_once(app, job):
    content, phones = encoded(), [Phone(app) for _ in range(6)]
    for phone in phones:
        attach(phone, job, content)
    statuses = all_ended(lambda phone: phone.put_photo(name_of(content), content).status_code, phones)
    assert set(statuses) <= {200, 201}
    with app.extensions["database"].transaction() as connection:
        assert len(list(connection.execute(select(schema.photo)))) == 1


def test_an_empty_photo_is_refused_and_still_wanted(phone, job):
    content = encoded()
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), b"")
    assert (answer.status_code, problem(answer)) == (422, "photo-empty")
    assert phone.sync()["wanted_photos"] == [name_of(content)]


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_photo_cut_off_on_its_way_is_refused_and_still_wanted(phone, job, share):
    content = encoded()
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content[: int(len(content) * share)])
    assert (answer.status_code, problem(answer)) == (422, "photo-different")
    assert phone.sync()["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).status_code == 201


def test_a_photo_beyond_20_megabytes_is_refused(phone, job):
    content = bytes(30_000_000)
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (413, "too-large")


def test_a_photo_of_just_20_megabytes_is_judged_by_its_content(phone, job):
    content = encoded() + bytes(LARGEST_PHOTO - len(encoded()))
    attach(phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 201


def test_what_is_no_picture_is_refused_and_still_wanted(phone, job):
    content = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (422, "photo-format")
    assert phone.sync()["wanted_photos"] == [name_of(content)]


@on_both_databases
def test_a_photo_that_no_entry_of_the_pairing_wants_is_refused(phone, second_phone, job):
    content = encoded()
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (409, "photo-not-wanted")
    attach(second_phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 409


@on_both_databases
def test_a_phone_paired_again_may_send_the_photos_of_its_device(app, phone, job):
    content = encoded()
    attach(phone, job, content)
    again = Phone(app, device=phone.device)
    again.sync()
    assert again.put_photo(name_of(content), content).status_code == 201


@pytest.mark.parametrize("name", ["x", "A" * 64, "0" * 63, "..%2f..%2fsecret-key", "%01" * 64])
def test_a_name_that_is_no_hash_is_refused(phone, name):
    assert phone.put_photo(name, encoded()).status_code == 404
    assert phone.client.get(f"/api/photos/{name}").status_code == 404


@on_both_databases
def test_a_kept_photo_is_served_by_its_own_hash_and_cannot_run(phone, job):
    content = encoded()
    kept = keep(phone, job, content)
    answer = phone.client.get(f"/api/photos/{name_of(content)}")
    assert answer.headers["ETag"] == f'"{name_of(kept)}"'
    assert name_of(kept) != name_of(content)
    assert answer.content_type == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{name_of(content)[:16]}.jpg"'
    again = phone.client.get(f"/api/photos/{name_of(content)}", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


@on_both_databases
def test_every_paired_phone_sees_a_photo_and_nobody_else(phone, second_phone, job):
    content = encoded()
    keep(phone, job, content)
    address = f"/api/photos/{name_of(content)}"
    assert second_phone.client.get(address).status_code == 200
    answer = second_phone.client.get(address, environ_base={"REMOTE_ADDR": "192.0.2.7"})
    assert answer.status_code == 403


@on_both_databases
def test_a_photo_whose_entry_is_no_longer_live_is_gone(phone, job):
    content = encoded()
    entry, _ = attach(phone, job, content)
    phone.put_photo(name_of(content), content)
    phone.sync([phone.entry(job, "field-set", {"value": None}, entry["id"], after=[entry["id"]])])
    assert problem(phone.client.get(f"/api/photos/{name_of(content)}")) == "no-such-photo"


@on_both_databases
def test_a_photo_that_has_not_come_is_404(phone, job):
    content = encoded()
    attach(phone, job, content)
    assert problem(phone.client.get(f"/api/photos/{name_of(content)}")) == "no-such-photo"


@on_both_databases
def test_a_phone_sends_only_so_many_photos_a_day(phone, job, clock, monkeypatch):
    """Quota; the number is lowered here, the rule is the same."""
    monkeypatch.setattr("server.api.photos.MOST_PHOTOS_A_DAY", 2)
    pictures = [encoded(picture(64 + i, 48)) for i in range(3)]
    for content in pictures:
        attach(phone, job, content)
    statuses = [phone.put_photo(name_of(content), content).status_code for content in pictures]
    assert statuses == [201, 201, 429]
    clock.now_ms += 25 * 3600 * 1000
    assert phone.put_photo(name_of(pictures[2]), pictures[2]).status_code == 201


@on_both_databases
def test_a_photo_entry_is_kept_as_it_came(phone, second_phone, job):
    entry, _ = attach(phone, job, encoded())
    assert json.dumps(second_phone.sync_all()) == json.dumps([entry])
