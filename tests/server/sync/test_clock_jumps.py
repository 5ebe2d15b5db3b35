"""The server's clock was wrong for a while and is right again: what was dated in the future neither locks nor opens."""

import pytest

from server.commands.backup import make_backup
from server.commands.check import check
from server.limits import DAY_MS
from server.store import shops
from tests.server.databases import on_both_databases
from tests.server.desks import OWNER, Desk, FarPhone
from tests.server.phones import START_MS
from tests.server.pictures_to_send import encoded, keep, picture
from tests.server.stores import backup_of, quiet

TEN_YEARS = 3_653 * DAY_MS
WRONG = "not the password at all"


@pytest.fixture
def ahead(clock):
    """The clock ten years ahead; a call sets it right."""
    clock.now_ms += TEN_YEARS

    def right():
        clock.now_ms = START_MS

    return right


def fail(app, times, address="192.0.2.10"):
    return [Desk(app, address).sign_in(OWNER, WRONG).status_code for _ in range(times)]


def test_failures_of_the_future_lock_no_name_and_no_address(any_shop_app, ahead, clock):
    assert fail(any_shop_app, 6)[-1] == 429
    ahead()
    assert Desk(any_shop_app).sign_in().status_code == 303
    clock.now_ms += 1
    assert fail(any_shop_app, 6) == [403] * 5 + [429]


def test_failures_of_the_next_minutes_still_count(shop_app, clock):
    """A clock that steps back a little gives nobody further tries."""
    assert fail(shop_app, 6) == [403] * 5 + [429]
    clock.now_ms -= 60_000
    assert fail(shop_app, 1) == [429]


def test_a_success_of_the_future_hides_no_failures(shop_app, ahead):
    Desk(shop_app).signed_in()
    ahead()
    assert fail(shop_app, 6) == [403] * 5 + [429]


def test_failures_of_the_future_lock_no_pairing(shop_app, ahead):
    assert [FarPhone(shop_app).pair("AAAA-AAAA").status_code for _ in range(6)][-1] == 429
    ahead()
    assert FarPhone(shop_app).pair(Desk(shop_app).signed_in().make_code()).status_code == 200


def test_a_code_of_the_future_lets_nobody_in(any_shop_app, ahead, clock):
    code = Desk(any_shop_app).signed_in().make_code()
    ahead()
    assert FarPhone(any_shop_app).pair(code).status_code == 403
    clock.now_ms += TEN_YEARS - 1
    assert FarPhone(any_shop_app).pair(code).status_code == 403


def test_a_sign_in_of_the_future_ends(any_shop_app, ahead):
    desk = Desk(any_shop_app).signed_in()
    ahead()
    assert desk.get("/desk/people").status_code == 303


def test_a_sign_in_lives_through_a_small_step_and_ends_after_its_time(shop_app, clock):
    desk = Desk(shop_app).signed_in()
    clock.now_ms -= 3_600_000
    assert desk.get("/desk/people").status_code == 200
    clock.now_ms += 13 * 3_600_000
    assert desk.get("/desk/people").status_code == 303


@on_both_databases
def test_photos_of_the_future_use_up_nothing_of_the_day(phone, job, ahead, monkeypatch):
    monkeypatch.setattr("server.api.photos.MOST_PHOTOS_A_DAY", 1)
    keep(phone, job, encoded(picture(20, 10)))
    ahead()
    keep(phone, job, encoded(picture(30, 10)))


@on_both_databases
def test_the_newest_backup_is_the_one_that_holds_most(app, phone, job, clock, ahead, tmp_path):
    phone.sync([phone.entry(job)])
    make_backup(app.extensions["database"], tmp_path / "first.backup", clock(), quiet)
    ahead()
    phone.sync([phone.entry(job)])
    make_backup(app.extensions["database"], tmp_path / "second.backup", clock(), quiet)
    with app.extensions["database"].transaction() as connection:
        assert shops.last_backup(connection).seq == 2


@on_both_databases
def test_check_says_where_a_backup_is_dated_in_the_future(app, phone, job, tmp_path):
    phone.sync([phone.entry(job)])
    backup_of(app, tmp_path / "one.backup")
    facts, _ = check(app.extensions["database"], START_MS - TEN_YEARS, quiet)
    assert "dated in the future" in facts[-1]


@on_both_databases
def test_a_phone_is_noted_as_seen_again(app, phone, clock, ahead):
    phone.sync()
    ahead()
    phone.sync()
    with app.extensions["database"].transaction() as connection:
        assert {row.contact_ms for row in shops.phones(connection)} == {clock()}
