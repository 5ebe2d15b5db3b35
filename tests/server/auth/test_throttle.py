"""How often somebody may try: counted in the database for all processes, and no stranger locks anybody out.

ASVS 5.0 6.1.1 and 6.3.1.
"""

import multiprocessing

import pytest

from server.auth import throttle
from server.store import Database, sign_in_attempts
from server.web.addresses import place_of
from server.web.errors import Problem
from tests.at_once import until
from tests.server.desks import OWNER, Desk, FarPhone
from tests.server.phones import START_MS

WRONG = "not the password at all"


def fail(app, times, address="192.0.2.10", name=OWNER):
    """Fail to sign in; returns the status of each try."""
    return [Desk(app, address).sign_in(name, WRONG).status_code for _ in range(times)]


def test_after_five_failures_each_wait_is_longer(any_shop_app, clock):
    assert fail(any_shop_app, 6) == [403] * 5 + [429]
    answer = Desk(any_shop_app).sign_in()
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "30")
    assert "Wait 30 seconds" in answer.text
    for wait_s in (30, 60, 120, 240):
        clock.now_ms += wait_s * 1000 - 1
        assert fail(any_shop_app, 1) == [429]
        clock.now_ms += 1
        assert fail(any_shop_app, 1) == [403]
    clock.now_ms += 480_000
    assert Desk(any_shop_app).sign_in().status_code == 303


def test_a_success_forgets_the_failures_before_it(shop_app, clock):
    fail(shop_app, 4)
    clock.now_ms += 1
    Desk(shop_app).signed_in()
    clock.now_ms += 1
    assert fail(shop_app, 5) == [403] * 5


def test_a_stranger_cannot_lock_out_the_owner(any_shop_app):
    """From many addresses in the owner's name: the places where the owner is known stay open."""
    home = Desk(any_shop_app, "192.0.2.10").signed_in()
    statuses = [code for k in range(20) for code in fail(any_shop_app, 3, f"198.51.100.{k}")]
    assert statuses.count(429) >= 5, "from addresses that are not known it does become slow"
    assert Desk(any_shop_app, "203.0.113.5").sign_in().status_code == 429
    assert home.sign_in().status_code == 303
    assert Desk(any_shop_app, "127.0.0.1").sign_in().status_code == 303


def test_one_address_that_tries_many_names_is_slowed_down(shop_app):
    statuses = [fail(shop_app, 1, name=f"Somebody {k}")[0] for k in range(25)]
    assert statuses == [403] * 20 + [429] * 5


def test_another_address_of_the_same_household_is_the_same_place():
    assert place_of("2001:db8:1:2:aaaa::1") == place_of("2001:db8:1:2:bbbb::2") != place_of("2001:db8:1:3::1")
    assert place_of("::ffff:192.0.2.7") == place_of("192.0.2.7") != place_of("192.0.2.8")
    assert len(place_of("x" * 200)) == 45


def test_old_failures_are_forgotten(shop_app, clock):
    fail(shop_app, 6)
    clock.now_ms += throttle.WINDOW_MS + 1
    assert fail(shop_app, 5) == [403] * 5
    with shop_app.extensions["database"].transaction() as connection:
        assert sign_in_attempts.failures(connection, "sign-in", 0, 2 * START_MS)[0] == 5


def test_wrong_codes_slow_their_address_down_and_no_other(any_shop_app):
    code = Desk(any_shop_app).signed_in().make_code()
    guesser = FarPhone(any_shop_app, "198.51.100.9")
    statuses = [guesser.pair("AAAA-AAA3").status_code for _ in range(6)]
    assert statuses == [403] * 5 + [429]
    assert guesser.pair(code).status_code == 429
    assert FarPhone(any_shop_app).pair(code).status_code == 200


def try_often(url: str, times: int) -> int:
    """What one worker process does: try from the same place, and count what was let through."""
    database, passed = Database(url), 0
    for _ in range(times):
        try:
            throttle.begin_sign_in(database, "ines tavell", "198.51.100.9", START_MS)
            passed += 1
        except Problem:
            pass
    database.close()
    return passed


@pytest.mark.full
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_four_processes_together_count_right(kind, request, tmp_path):
    """100 tries by 4 processes at the same moment: exactly the free ones pass."""
    if kind == "postgresql":
        fresh_again = request.getfixturevalue("postgres_shop")
        fresh_again()
        url = fresh_again.url
    else:
        url = f"sqlite:///{tmp_path}/own.db"
        database = Database(url)
        database.migrate()
        database.close()
    with multiprocessing.get_context("spawn").Pool(4) as pool:  # its end ends what still tries
        trying = pool.starmap_async(try_often, [(url, 25)] * 4)
        until(trying.ready, "100 tries by 4 processes")
        passed = sum(trying.get(0))
    assert passed == throttle.NAME_AND_ADDRESS.free


def test_a_limit_waits_longer_each_time_up_to_its_longest():
    limit = throttle.Limit(2, 100_000)
    assert [limit.wait_ms(number, 0, 0) for number in range(6)] == [0, 0, 30_000, 60_000, 100_000, 100_000]
    assert limit.wait_ms(2, 1000, 31_000) == 0
