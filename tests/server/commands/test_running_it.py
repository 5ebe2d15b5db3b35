"""What keeps a shop's server running: at boot, on another machine, by an owner who forgot the password."""

import getpass
import os
import shutil
import ssl
import subprocess
import sys
import time
import urllib.request
import xml.etree.ElementTree as ET
from datetime import UTC, datetime
from types import SimpleNamespace

import pytest

from server import shop_time
from server.__main__ import main
from server.auth import people
from server.commands import serve
from server.commands.nightly import Plan
from server.keys import certificate
from server.store import Database
from server.store import people as store_people
from server.web.errors import Problem
from tests.debian import bring
from tests.live_server import LiveServer, free_port
from tests.server.desks import OWNER, PASSWORD

IN_CI = os.environ.get("CI") == "true"


def at(text):
    return datetime.fromisoformat(text)


# Another machine


@pytest.mark.full
def test_on_another_machine_phones_stay_paired_and_trust_what_they_trusted(fresh_shop, tmp_path, run_at):
    dead, backup = tmp_path / "dead", tmp_path / "backups" / "last.backup"
    shutil.copytree(fresh_shop, dead)
    certificate.make(dead, certificate.names_of_this_machine(), datetime.now(UTC))
    trusted = tmp_path / "what-the-phone-has.crt"
    shutil.copy(certificate.paths(dead)["authority.crt"], trusted)
    trust = ssl.create_default_context(cafile=trusted)
    port = free_port()
    with LiveServer(dead, port, https=True) as server:
        cookie = signed_in_at(server, trust)
        assert "Sign out" in desk_of(server, trust, cookie)
        status, out, _ = run_at(dead, "backup", backup)
        assert (status, "The shop's keys, 5 files" in out) == (0, True)
    fresh = tmp_path / "fresh"
    status, out, _ = run_at(fresh, "restore", backup)
    assert status == 0
    assert "phones that trust it go on" in out
    assert "stay so" in out
    with LiveServer(fresh, port, https=True) as server:
        assert "Sign out" in desk_of(server, trust, cookie), "the old cookie is believed, over the old trust"


def signed_in_at(server, trust):
    """Sign the owner in; return the cookie."""
    opener = urllib.request.build_opener(
        urllib.request.HTTPSHandler(context=trust), cookies := urllib.request.HTTPCookieProcessor()
    )
    with opener.open(f"{server.url}/desk/sign-in", timeout=30) as page:
        token = page.read().decode().split('name="csrf_token" value="')[1].split('"')[0]
    form = urllib.parse.urlencode({"csrf_token": token, "name": OWNER, "password": PASSWORD}).encode()
    asked = urllib.request.Request(f"{server.url}/desk/sign-in", form, {"Referer": f"{server.url}/desk/sign-in"})
    opener.open(asked, timeout=60).close()
    return "; ".join(f"{each.name}={each.value}" for each in cookies.cookiejar)


def desk_of(server, trust, cookie):
    asked = urllib.request.Request(f"{server.url}/desk/", headers={"Cookie": cookie})
    with urllib.request.urlopen(asked, timeout=60, context=trust) as page:
        return page.read().decode()


def test_a_store_with_an_authority_of_its_own_keeps_it_and_says_so(fresh_shop, tmp_path, run_at):
    for name in ("dead", "new"):
        shutil.copytree(fresh_shop, tmp_path / name)
        certificate.make(tmp_path / name, ["shop-pc.local"], datetime.now(UTC))
    run_at(tmp_path / "dead", "backup", tmp_path / "b" / "last.backup")
    before = certificate.authority_der(tmp_path / "new")
    status, out, _ = run_at(tmp_path / "new", "restore", tmp_path / "b" / "last.backup")
    assert status == 0
    assert certificate.authority_der(tmp_path / "new") == before
    assert "of another authority than the backup's, and stays" in out


# Somebody who forgot


def test_an_owner_who_forgot_the_password_gets_another_at_the_machine(fresh_shop, tmp_path, run_at):
    shutil.copytree(fresh_shop, tmp_path / "store")
    status, out, _ = run_at(tmp_path / "store", "password", "--password-stdin", given="harvest moon ladder\n")
    assert (status, OWNER in out) == (0, True)
    database = Database(f"sqlite:///{tmp_path}/store/tapermark.db")
    try:
        now_ms = int(time.time() * 1000)
        assert people.sign_in(database, OWNER, "harvest moon ladder", "127.0.0.1", now_ms)
        with pytest.raises(Problem, match="do not match"):
            people.sign_in(database, OWNER, PASSWORD, "127.0.0.1", now_ms)
    finally:
        database.close()


def test_whose_password_must_be_clear_and_nothing_changes_before(fresh_shop, tmp_path, run_at):
    shutil.copytree(fresh_shop, tmp_path / "store")
    for given in (["Nobody Known"], []):
        if not given:
            add_owner(tmp_path / "store", "Second Owner")
        status, _, err = run_at(
            tmp_path / "store", "password", *given, "--password-stdin", given="harvest moon ladder\n"
        )
        assert (status, OWNER in err) == (1, True)
    assert "weak" not in run_at(tmp_path / "store", "password", OWNER, "--password-stdin", given="short\n")[1]
    status, _, err = run_at(tmp_path / "nowhere", "password", given="")
    assert (status, "there is no store" in err.lower()) == (1, True)


def add_owner(store, name):
    database = Database(f"sqlite:///{store}/tapermark.db")
    with database.transaction() as connection:
        store_people.add(connection, name, people.key_of(name), "owner", "x", 1)
    database.close()


# At boot


@pytest.fixture(scope="module")
def checker():
    """systemd's own."""
    if sys.platform != "linux":
        pytest.skip("systemd is Linux's")
    if shutil.which("systemd-analyze") is None:
        bring("systemd")
    found = shutil.which("systemd-analyze")
    return found or (pytest.fail if IN_CI else pytest.skip)("no systemd-analyze here. Debian: apt install systemd")


def test_the_unit_is_one_that_systemd_takes_whatever_the_folders_are_called(checker, run_at, tmp_path):
    store, backups = tmp_path / "our shop 100%", tmp_path / 'the "$HOME" disk'
    status, out, _ = run_at(store, "service", "--port", "8443", "--backups", backups, "--keep", "30")
    assert status == 0
    unit = tmp_path / "tapermark.service"
    unit.write_text(out)
    looked = subprocess.run([checker, "verify", unit], capture_output=True, text=True, timeout=60, check=False)
    assert (looked.returncode, looked.stderr) == (0, "")
    assert f"User={getpass.getuser()}" in out
    assert "serve --host 0.0.0.0 --port 8443 --backups" in out
    assert "--keep 30" in out


def test_a_word_that_the_unit_must_not_have_is_found_by_the_checker(checker, run_at, tmp_path):
    """The checker bites: else the test above could not fail."""
    unit = tmp_path / "tapermark.service"
    unit.write_text(run_at(tmp_path, "service")[1].replace("ExecStart=", "ExecStart=nowhere/"))
    looked = subprocess.run([checker, "verify", unit], capture_output=True, text=True, timeout=60, check=False)
    assert looked.returncode != 0


def test_the_task_of_windows_is_well_formed_and_starts_the_server_at_boot(run_at, tmp_path):
    out = run_at(tmp_path, "service", "--windows", "--backups", tmp_path / "a & b")[1]
    task = ET.fromstring(out.split("?>", 1)[1])
    space = {"t": "http://schemas.microsoft.com/windows/2004/02/mit/task"}
    assert task.find(".//t:BootTrigger", space) is not None
    arguments = task.find(".//t:Arguments", space).text
    assert f"--store {tmp_path}" in arguments
    assert f'--backups "{tmp_path / "a & b"}" --backup-at 02:30 --keep 14' in arguments


@pytest.mark.parametrize(
    ("arguments", "word"),
    [(["--backup-at", "25:00"], "a time such as 02:30"), (["--keep", "0"], "a number of backups from 1 on")],
)
def test_a_wrong_plan_is_refused_in_words(capsys, arguments, word):
    with pytest.raises(SystemExit):
        main(["serve", "--backups", "b", *arguments])
    assert word in capsys.readouterr().err


# For whoever watches


def test_health_tells_whether_phones_are_heard_and_no_more(app, monkeypatch):
    answer = app.test_client().get("/health")
    assert (answer.status_code, answer.json) == (200, {"format": 1, "status": "ok"})
    assert "Set-Cookie" not in answer.headers
    monkeypatch.setattr("server.web.health.look_at", lambda _folder: ("store-full", 0))
    answer = app.test_client().get("/health")
    assert (answer.status_code, answer.json["status"]) == (503, "store-full")
    app.extensions["database"].close()
    (app.config["STORE_FOLDER"] / "tapermark.db").unlink()
    answer = app.test_client().get("/health")
    assert (answer.status_code, answer.json["status"]) == (503, "store-unreadable")


# The shop's time


def test_times_are_the_shops_with_the_name_of_its_zone(monkeypatch):
    monkeypatch.setenv("TAPERMARK_ZONE", "Europe/Madrid")
    summer, winter = (int(at(text).timestamp() * 1000) for text in ("2026-07-01T23:30+00:00", "2026-12-01T23:30+00:00"))
    assert shop_time.shown(summer) == "2026-07-02 01:30 CEST"
    assert shop_time.shown(winter) == "2026-12-02 00:30 CET"
    assert (shop_time.day_of(summer), shop_time.day_of(winter)) == ("2026-07-02", "2026-12-02")
    assert shop_time.begins_ms(at("2026-12-02T00:00").date()) == int(at("2026-12-01T23:00+00:00").timestamp() * 1000)
    monkeypatch.setenv("TAPERMARK_ZONE", "Mars/Utopia")
    with pytest.raises(SystemExit, match="Europe/Madrid"):
        shop_time.zone()


# What it says at the start


def test_every_address_is_said_and_where_phones_learn_to_trust_it(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("TAPERMARK_STORE", str(tmp_path))
    certificate.make(tmp_path, ["shop-pc.local", "192.168.1.20", "fd00::7"], datetime.now(UTC))
    shop = SimpleNamespace(demo=False, name="Larkmoor Wheel Works")
    serve._greet(shop, "https", "0.0.0.0", 8443, Plan(tmp_path, (2, 30), 3))
    said = capsys.readouterr().out
    assert f"serves Larkmoor Wheel Works at https://shop-pc.local:8443/ (data: {tmp_path})" in said
    assert "The same at https://192.168.1.20:8443/, https://[fd00::7]:8443/" in said
    assert "at https://shop-pc.local:8443/desk/certificate" in said
    assert "nightly backup" not in said
    serve._greet(shop, "http", "127.0.0.1", 8000, None)
    said = capsys.readouterr().out
    assert "The same at" not in said
    assert "desk/certificate" not in said
    assert "No nightly backup is made here" in said
