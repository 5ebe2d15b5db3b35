"""What a running server does each night: a backup in a folder, old ones taken away, the certificate kept young."""

import os
import shutil
import ssl
import urllib.request
from datetime import UTC, datetime, timedelta

import pytest

from server.commands import nightly
from server.commands.nightly import Plan
from server.keys import certificate, secret_key, shop_keys
from tests.at_once import until
from tests.live_server import LiveServer
from tests.server.stores import fill


def at(text):
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    ("made", "now", "due"),
    [
        ([], "2026-11-30T12:00+00:00", True),
        (["20261130-013000"], "2026-11-30T12:00+00:00", False),  # 02:30 in Madrid is 01:30 UTC
        (["20261130-012959"], "2026-11-30T12:00+00:00", True),
        (["20261129-013500"], "2026-11-30T01:29+00:00", False),
        (["20261129-013500"], "2026-11-30T01:30+00:00", True),
        (["20261120-013500"], "2026-11-30T12:00+00:00", True),  # it was off for days
        (["20271130-013000"], "2026-11-30T12:00+00:00", True),  # of a clock that was years ahead
    ],
)
def test_a_backup_is_due_once_after_each_night_hour_of_the_shop(tmp_path, monkeypatch, made, now, due):
    monkeypatch.setenv("TAPERMARK_ZONE", "Europe/Madrid")
    for stamp in made:
        (tmp_path / f"tapermark-{stamp}.backup").touch()
    assert nightly.is_due(Plan(tmp_path, (2, 30), 3), at(now)) is due


def test_so_many_backups_stay_and_nothing_else_of_the_folder_goes(app, phone, job, tmp_path):
    fill(phone, job)
    plan, store = Plan(tmp_path / "b", (2, 30), 3), app.config["STORE_FOLDER"]
    certificate.make(store, ["shop-pc.local"], datetime.now(UTC))
    plan.folder.mkdir()
    other = plan.folder / "tapermark-before-the-move.backup"
    other.touch()
    begun = at("2026-11-25T02:31+00:00")
    said = [nightly.back_up(plan, app.config["DATABASE_URL"], store, begun + timedelta(days=day)) for day in range(5)]
    kept = sorted(path.name for path in plan.folder.glob("*.backup") if path != other)
    assert kept == [f"tapermark-202611{day}-023100.backup" for day in (27, 28, 29)]
    assert other.exists()
    assert "3 entries, 1 photos, 1 of them new." in said[0]
    assert "0 of them new. 1 older taken away." in said[4]
    keys = plan.folder / shop_keys.FOLDER
    assert {path.name for path in keys.iterdir()} == {*certificate.paths(store), "secret-key"}
    if os.name == "posix":
        assert [path.stat().st_mode & 0o077 for path in (keys, *keys.iterdir())] == [0] * 6


def test_what_a_clock_of_years_ahead_has_named_takes_no_true_backup_away(app, phone, job, tmp_path):
    fill(phone, job)
    plan, store, url = Plan(tmp_path / "b", (2, 30), 2), app.config["STORE_FOLDER"], app.config["DATABASE_URL"]
    now = at("2026-11-25T02:31+00:00")
    for moment in (now + timedelta(days=800), now + timedelta(days=801), now):
        nightly.back_up(plan, url, store, moment)
    (plan.folder / "tapermark-20261399-999999.backup").touch()  # no time at all
    assert (plan.folder / nightly.name_of(now)).exists()
    assert not nightly.is_due(plan, now + timedelta(minutes=15))
    assert len(list(plan.folder.glob("*.backup"))) == 4


def test_a_night_that_goes_wrong_ends_no_other(capsys):
    def broken(_now):
        raise ValueError("an empty certificate.")

    assert nightly._try(broken) is False
    assert "an empty certificate. It is tried again in 15 minutes." in capsys.readouterr().err
    assert nightly._try(lambda _now: "made") is True


def test_another_shops_keys_are_set_aside_and_not_written_over(tmp_path):
    for name in ("one", "two"):
        certificate.make(tmp_path / name, ["shop-pc.local"], datetime.now(UTC))
        secret_key.secret_keys(tmp_path / name)
        shop_keys.copy_keys(tmp_path / name, tmp_path / "b")
    aside = tmp_path / "b" / "keys-before-1" / "authority.crt"
    assert aside.read_bytes() == certificate.paths(tmp_path / "one")["authority.crt"].read_bytes()
    secret_key.renew(tmp_path / "two")
    shop_keys.copy_keys(tmp_path / "two", tmp_path / "b")
    assert not (tmp_path / "b" / "keys-before-2").exists(), "a renewed key is the same shop's"


def test_the_backups_cookie_keys_are_believed_however_often_ours_were_renewed(tmp_path):
    for name in ("old", "new"):
        secret_key.secret_keys(tmp_path / name)
    for _ in range(6):
        secret_key.renew(tmp_path / "new")
    assert secret_key.believe(tmp_path / "new", tmp_path / "old" / secret_key.FILE)
    theirs, ours = (secret_key.secret_keys(tmp_path / name) for name in ("old", "new"))
    assert theirs[0] in ours[1:]


def test_without_its_authoritys_key_a_certificate_is_not_renewed_by_another(tmp_path):
    certificate.make(tmp_path, ["shop-pc.local"], datetime.now(UTC))
    before = certificate.authority_der(tmp_path)
    certificate.paths(tmp_path)["authority.key"].unlink()
    with pytest.raises(certificate.NoAuthority, match="Put it back there"):
        certificate.renew_if_old(tmp_path, datetime.now(UTC) + timedelta(days=800))
    assert certificate.authority_der(tmp_path) == before


def test_a_certificate_of_a_clock_that_was_ahead_is_made_anew(tmp_path):
    certificate.make(tmp_path, ["shop-pc.local"], datetime.now(UTC))
    certificate.renew_if_old(tmp_path, datetime.now(UTC) + timedelta(days=800))
    assert certificate.renew_if_old(tmp_path, datetime.now(UTC))
    assert not certificate.renew_if_old(tmp_path, datetime.now(UTC))


def test_on_a_machine_of_another_name_the_authority_speaks_for_what_it_may(tmp_path, run_at, monkeypatch):
    monkeypatch.setattr("socket.gethostname", lambda: "oldpc")
    assert run_at(tmp_path, "certificate")[0] == 0
    monkeypatch.setattr("socket.gethostname", lambda: "newpc")
    status, out, _ = run_at(tmp_path, "certificate")
    assert (status, "Not for newpc:" in out) == (0, True)
    assert "newpc.local" in certificate.names_of(tmp_path)


def test_a_backup_that_fails_takes_no_older_one_away(app, phone, job, tmp_path):
    fill(phone, job)
    plan, store = Plan(tmp_path / "b", (2, 30), 1), app.config["STORE_FOLDER"]
    nightly.back_up(plan, app.config["DATABASE_URL"], store, at("2026-11-25T02:31+00:00"))
    with pytest.raises(Exception, match="is there already"):
        nightly.back_up(plan, app.config["DATABASE_URL"], store, at("2026-11-25T02:31+00:00"))
    assert len(list(plan.folder.glob("*.backup"))) == 1


@pytest.mark.full
def test_a_running_server_makes_up_for_the_nights_it_was_off(fresh_store, tmp_path, run_at):
    shutil.copytree(fresh_store, tmp_path / "store")
    with LiveServer(tmp_path / "store", more=("--backups", str(tmp_path / "nightly"))) as server:
        until(lambda: "Backup " in server.output(), "a word of the first backup")
        made = list((tmp_path / "nightly").glob("*.backup"))
    assert run_at(tmp_path / "other", "restore", made[0])[0] == 0
    assert run_at(tmp_path / "other", "check")[0] == 0


@pytest.mark.full
def test_a_renewed_certificate_is_taken_while_phones_are_served(fresh_store, tmp_path):
    """Nothing is restarted: the next connection is answered with the fresh one, of the same authority."""
    store = tmp_path / "store"
    shutil.copytree(fresh_store, store)
    names = certificate.names_of_this_machine()
    certificate.make(store, names, datetime.now(UTC))
    with LiveServer(store, https=True) as server:
        trust = ssl.create_default_context(cafile=certificate.paths(store)["authority.crt"])

        def shown():
            with urllib.request.urlopen(f"{server.url}/health", timeout=30, context=trust) as answer:
                assert answer.status == 200
            return ssl.get_server_certificate(("127.0.0.1", server.port), timeout=30)

        before = shown()
        certificate.make(store, names, datetime.now(UTC))  # as renew_if_old does
        until(lambda: shown() != before, "the fresh certificate")


def test_check_says_until_when_the_certificate_is_good(fresh_store, tmp_path, run_at):
    shutil.copytree(fresh_store, tmp_path / "store")
    assert "Certificate" not in run_at(tmp_path / "store", "check")[1]
    certificate.make(tmp_path / "store", ["shop-pc.local"], datetime.now(UTC))
    ends = certificate.ends(tmp_path / "store")
    assert f"Certificate: good until {ends:%Y-%m-%d}, 819 days from now" in run_at(tmp_path / "store", "check")[1]
