"""`setup`, `renew-key` and the key itself: no default password, no key that could be guessed, no way around either."""

import io
import os
import shutil
import subprocess
import sys

import pytest

from server import config
from server.__main__ import main
from server.commands.setup import make_shop
from server.keys import secret_key
from server.store import Database, people, shops
from tests.live_server import ROOT, free_port
from tests.server.desks import OWNER, PASSWORD, SHOP, Desk, FarPhone


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Return a function that runs a verb in the store of this test, as the command line does: (status, out, err)."""
    monkeypatch.setenv("TAPERMARK_STORE", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)

    def verb(*arguments, given=""):
        monkeypatch.setattr("sys.stdin", io.StringIO(given))
        try:
            status = main(list(arguments))
        except SystemExit as stopped:
            print(stopped.code, file=sys.stderr)
            status = 1
        out, err = capsys.readouterr()
        return status, out, err

    return verb


@pytest.fixture
def setup(run):
    def ask(given=f"{PASSWORD}\n"):
        return run("setup", "--shop", SHOP, "--owner", OWNER, "--password-stdin", given=given)

    return ask


def stored(folder):
    """Return (shop, people) of a store."""
    database = Database(f"sqlite:///{folder}/tapermark.db")
    with database.transaction() as connection:
        found = shops.shop_row(connection), people.everybody(connection)
    database.close()
    return found


def test_setup_makes_the_shop_and_its_owner_once(setup, tmp_path):
    status, out, err = setup()
    assert (status, err) == (0, "")
    assert "python -m server certificate" in out
    shop, (owner,) = stored(tmp_path)
    assert (shop.name, shop.demo, owner.name, owner.role) == (SHOP, False, OWNER, "owner")
    assert PASSWORD not in out + str(owner)
    status, _, err = setup()
    assert status == 1
    assert f"holds {SHOP} already" in err


@pytest.mark.parametrize(
    ("given", "said"),
    [("\n", "0 characters"), ("", "0 characters"), ("short\n", "5 characters"), (f"{OWNER} 26!\n", "little more than")],
)
def test_setup_has_no_default_password_and_takes_no_weak_one(setup, tmp_path, given, said):
    status, _, err = setup(given)
    assert status == 1
    assert said in err
    assert stored(tmp_path) == (None, [])


def test_setup_without_a_terminal_says_which_options_it_needs(run):
    status, _, err = run("setup", given="x\n")
    assert status == 1
    assert "--shop, --owner" in err


def test_setup_leaves_the_demo_alone(setup, tmp_path, fresh_store):
    shutil.copytree(fresh_store, tmp_path, dirs_exist_ok=True)
    status, _, err = setup()
    assert status == 1
    assert "holds the demo shop" in err
    assert "TAPERMARK_STORE" in err
    assert stored(tmp_path)[1] == []


def test_the_command_line_as_an_owner_types_it(tmp_path):
    """One run of the real program; the others call it within this process."""
    done = subprocess.run(
        [sys.executable, "-m", "server", "setup", "--shop", SHOP, "--owner", OWNER, "--password-stdin"],
        cwd=ROOT, env=os.environ | {"TAPERMARK_STORE": str(tmp_path), "DATABASE_URL": ""}, input=f"{PASSWORD}\n",
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert stored(tmp_path)[0].name == SHOP


def test_the_demo_is_not_put_into_a_shop(shop_app):
    with shop_app.extensions["database"].transaction() as connection:
        assert shops.shop_row(connection).demo is False
    client = shop_app.test_client()
    assert client.get("/api/session").status_code == 403, "no browser of this machine is paired by itself"
    assert client.get("/desk/").location == "/desk/sign-in?next=/desk/"


@pytest.mark.parametrize(
    ("key", "reason"),
    [
        ("", "holds no key"),
        ("short", "at least 32 characters"),
        ("a" * 64, "different characters"),
        ("0123012301230123012301230123012301230123", "different characters"),
        ("my-super-secret-key-please-change-it-123", "out of an example"),
        ("the-default-key-of-this-program-abcdefgh", "out of an example"),
    ],
)
def test_a_key_that_could_be_guessed_stops_the_start(run, tmp_path, key, reason):
    (tmp_path / secret_key.FILE).write_text(f"{key}\n")
    status, _, err = run("serve", "--port", str(free_port()))
    assert status == 1
    assert reason in err


def test_a_weak_key_of_the_environment_stops_the_start_too(run, monkeypatch):
    monkeypatch.setenv(secret_key.VARIABLE, "changeme" * 8)
    status, _, err = run("serve", "--port", str(free_port()))
    assert status == 1
    assert "TAPERMARK_SECRET_KEY holds a key" in err


def test_a_weak_key_in_the_configuration_stops_the_start(make_shop_app):
    with pytest.raises(SystemExit, match="SECRET_KEY holds no key"):
        make_shop_app(SECRET_KEY="dev")


def test_several_machines_share_a_key_by_the_environment(tmp_path, monkeypatch):
    keys = [secret_key._fresh(), secret_key._fresh()]
    monkeypatch.setenv(secret_key.VARIABLE, " ".join(keys))
    made = config.defaults(tmp_path)
    assert (made["SECRET_KEY"], made["SECRET_KEY_FALLBACKS"]) == (keys[0], [keys[1]])
    assert not (tmp_path / secret_key.FILE).exists()


def test_a_renewed_key_signs_and_the_old_one_is_still_believed(make_shop_app, tmp_path, job):
    """After a rotation the sign-in and the pairing stay; only the token has to be fetched again."""
    before = make_shop_app()
    desk, phone = Desk(before).signed_in(), FarPhone(before)
    phone.pair(desk.make_code())
    token = phone.token()
    secret_key.renew(tmp_path / "shop")
    after = make_shop_app()
    assert after.config["SECRET_KEY"] != before.config["SECRET_KEY"] == after.config["SECRET_KEY_FALLBACKS"][0]
    carry(desk, phone, after)
    assert desk.get("/desk/").status_code == 200
    body = {"device": phone.device, "since": None, "entries": []}
    assert phone.ask("POST", "/api/entries", json=body, headers={"X-CSRFToken": token}).status_code == 400
    assert phone.post([phone.entry(job)]).json["results"][0]["verdict"] == "accepted"


def test_a_deleted_key_ends_every_sign_in_and_pairing(make_shop_app, tmp_path):
    before = make_shop_app()
    desk, phone = Desk(before).signed_in(), FarPhone(before)
    phone.pair(desk.make_code())
    (tmp_path / "shop" / secret_key.FILE).unlink()
    carry(desk, phone, make_shop_app())
    assert desk.get("/desk/").status_code == 303
    assert phone.session().status_code == 403


def carry(desk, phone, app):
    """Go on in the same browsers, against another start of the server."""
    for each in (desk, phone):
        cookie = each.client.get_cookie("__Host-tapermark", domain="shop.example")
        each.client = app.test_client()
        each.client.set_cookie(cookie.key, cookie.value, domain="shop.example")


def test_at_most_five_keys_are_believed(tmp_path):
    for _ in range(8):
        secret_key.renew(tmp_path)
    keys = secret_key.secret_keys(tmp_path)
    assert len(keys) == len(set(keys)) == 5
    if os.name == "posix":
        assert (tmp_path / secret_key.FILE).stat().st_mode & 0o077 == 0


def test_a_shop_cannot_be_made_twice_at_once(tmp_path):
    database = Database(f"sqlite:///{tmp_path}/x.db")
    database.migrate()
    make_shop(database, SHOP, OWNER, PASSWORD)
    with pytest.raises(Exception, match=r"(?i)unique"):
        make_shop(database, "Another", "Somebody Else", PASSWORD)
    with database.transaction() as connection:
        assert len(people.everybody(connection)) == 1
    database.close()
