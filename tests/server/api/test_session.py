"""Who may come in: pairing, tokens, other sites, and the shape of refusals."""

import os
import stat
import uuid
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime

import pytest

from server.keys.secret_key import secret_keys
from server.store import shops
from tests.server.databases import on_both_databases
from tests.server.phones import Phone, problem

DAY_MS = 24 * 3600 * 1000


def test_a_browser_on_this_machine_is_paired_with_the_demo_shop(phone):
    answer = phone.client.get("/api/session")
    assert answer.status_code == 200
    body = answer.json
    assert set(body) == {"format", "csrf", "shop", "pairing", "epoch", "time", "sent"}
    assert body["sent"] == 0
    assert body["shop"]["demo"] is True
    assert uuid.UUID(body["pairing"])
    assert uuid.UUID(body["epoch"])
    assert body["time"] == "2026-09-21T14:13:20.000+00:00"
    assert answer.headers["Cache-Control"] == "no-store"


@on_both_databases
def test_a_phone_hears_how_many_entries_came_by_its_pairing(phone, second_phone, job):
    """So one that lost even its own name knows that it had stored jobs."""
    phone.sync([phone.entry(job), phone.entry(job)])
    phone.device = str(uuid.uuid4())  # emptied of everything but its cookie
    assert phone.client.get("/api/session").json["sent"] == 2
    assert second_phone.client.get("/api/session").json["sent"] == 0


@on_both_databases
def test_a_browser_keeps_its_pairing_and_another_gets_its_own(phone, second_phone):
    mine = phone.client.get("/api/session").json["pairing"]
    assert phone.client.get("/api/session").json["pairing"] == mine
    assert second_phone.client.get("/api/session").json["pairing"] != mine


@pytest.mark.parametrize("path", ["/api/session", "/api/ring-sets", "/api/jobs?registration=x", "/desk/"])
@pytest.mark.parametrize("address", ["192.168.1.20", "10.0.0.1", "203.0.113.9", "::ffff:192.0.2.1", "", "nonsense"])
def test_anybody_else_is_refused_in_clear_words(phone, path, address):
    answer = phone.client.get(path, environ_base={"REMOTE_ADDR": address})
    assert answer.status_code == 403
    assert "not paired with the shop" in answer.text
    assert "127.0.0.1" in answer.text


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example:8000", "192.168.1.5"]
)
def test_another_name_for_this_machine_is_refused(phone, host):
    """DNS rebinding: a hostile page may point its own name at 127.0.0.1."""
    answer = phone.client.get("/api/session", headers={"Host": host})
    assert (answer.status_code, problem(answer)) == (403, "not-paired")


@pytest.mark.parametrize("host", ["localhost:8000", "127.0.0.1:8000", "[::1]:8000", "127.0.0.1"])
def test_the_names_of_this_machine_are_taken(phone, host):
    assert phone.client.get("/api/session", headers={"Host": host}).status_code == 200


@on_both_databases
def test_an_ended_pairing_is_refused_and_does_not_come_back(app, clock, phone):
    pairing = phone.client.get("/api/session").json["pairing"]
    with app.extensions["database"].transaction() as connection:
        shops.end_pairing(connection, pairing, clock())
    answers = [phone.client.get("/api/session") for _ in range(2)]
    assert [(answer.status_code, problem(answer)) for answer in answers] == [(401, "pairing-ended")] * 2


def test_the_session_cookie_is_lax_and_out_of_reach_of_scripts(phone):
    """__Host- and Secure belong to HTTPS, which WebKit would not keep on http loopback."""
    for base_url, name in (("http://localhost", "tapermark"), ("https://localhost", "__Host-tapermark")):
        cookie = phone.client.get("/api/session", base_url=base_url).headers["Set-Cookie"]
        assert cookie.startswith(f"{name}=")
        assert {"HttpOnly", "SameSite=Lax", "Path=/"} <= set(cookie.split("; "))
        assert ("; Secure" in cookie) == (base_url.startswith("https"))
        assert "Domain" not in cookie


@on_both_databases
def test_a_session_lasts_400_days_from_the_last_sync(phone):
    for _ in range(2):
        cookie = phone.client.get("/api/session").headers["Set-Cookie"]
        expires = parsedate_to_datetime(cookie.split("Expires=")[1].split(";")[0])
        assert timedelta(days=399) < expires - datetime.now(UTC) < timedelta(days=401)


def post(phone, **headers):
    body = {"device": phone.device, "since": None, "entries": []}
    return phone.client.post("/api/entries", json=body, headers=headers)


def test_a_write_without_a_token_is_refused(phone):
    phone.token()
    answer = post(phone)
    assert (answer.status_code, problem(answer)) == (400, "csrf-failed")
    assert "/api/session" in answer.json["error"]["text"]


def test_a_token_in_the_json_body_does_not_count(phone):
    body = {"device": phone.device, "since": None, "entries": [], "csrf_token": phone.token()}
    assert problem(phone.client.post("/api/entries", json=body)) == "csrf-failed"


def test_a_token_of_another_session_is_refused(phone, second_phone):
    phone.token()
    assert problem(post(phone, **{"X-CSRFToken": second_phone.token()})) == "csrf-failed"


def test_a_token_is_good_for_as_long_as_its_session(phone, monkeypatch):
    """A phone that was offline for a week holds a token of a week ago."""
    import time

    token, now = phone.token(), time.time
    monkeypatch.setattr(time, "time", lambda: now() + 7 * 24 * 3600)
    assert post(phone, **{"X-CSRFToken": token}).status_code == 200


def test_after_the_session_is_lost_one_refresh_is_enough(phone, job):
    """400, then a fresh token, then everything goes through, once."""
    token = phone.token()
    phone.client.delete_cookie("tapermark")
    assert problem(post(phone, **{"X-CSRFToken": token})) == "csrf-failed"
    assert phone.sync([phone.entry(job)])["results"][0]["verdict"] == "accepted"


def test_after_the_key_was_changed_one_refresh_is_enough(make_app, phone, job):
    token = phone.token()
    rotated = make_app(SECRET_KEY="another key of at least 32 characters, for this test")
    cookie = phone.client.get_cookie("tapermark")
    other = Phone(rotated, device=phone.device)
    other.client.set_cookie("tapermark", cookie.value)
    assert problem(post(other, **{"X-CSRFToken": token})) == "csrf-failed"
    assert other.sync([other.entry(job)])["results"][0]["verdict"] == "accepted"


def test_on_https_a_write_needs_the_referer_that_the_policy_lets_through(phone):
    token = phone.client.get("/api/session", base_url="https://localhost").json["csrf"]
    body = {"device": phone.device, "since": None, "entries": []}
    send = lambda **headers: phone.client.post(  # noqa: E731
        "/api/entries", json=body, base_url="https://localhost", headers={"X-CSRFToken": token, **headers}
    )
    assert problem(send()) == "csrf-failed"
    assert send(Referer="https://localhost/").status_code == 200
    assert phone.client.get("/api/session").headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize(
    ("site", "status"), [("cross-site", 403), ("same-site", 403), ("same-origin", 200), ("none", 200)]
)
def test_a_browser_that_says_the_request_is_foreign_is_believed(phone, site, status):
    headers = {"X-CSRFToken": phone.token(), "Sec-Fetch-Site": site}
    assert post(phone, **headers).status_code == status


def test_a_browser_that_says_nothing_still_needs_the_token(phone):
    assert post(phone, **{"X-CSRFToken": phone.token()}).status_code == 200
    assert post(phone).status_code == 400


def test_a_foreign_link_may_still_read_pages(phone):
    assert phone.client.get("/desk/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


@pytest.mark.parametrize(
    ("path", "status", "code", "words"),
    [
        ("/api/nothing", 404, "not-found", "Start again from / or /desk/."),
        (
            "/api/entries",
            405,
            "wrong-method",
            "takes OPTIONS, POST, and not GET. Nothing was changed. Start again from",
        ),
        ("/api/tables/x", 404, "no-such-table", "under the name 'x'. Get the list from /api/ring-sets."),
        ("/api/photos/x", 404, "photo-name", "64 digits from 0-9 and a-f; got 'x'. Check the address."),
    ],
)
def test_errors_under_api_are_json_with_our_mark(phone, path, status, code, words):
    answer = phone.client.get(path)
    assert answer.status_code == status
    assert problem(answer) == code
    assert words in answer.json["error"]["text"]


def test_errors_elsewhere_are_plain_pages(phone):
    answer = phone.client.get("/desk/nothing")
    assert answer.status_code == 404
    assert answer.content_type == "text/html; charset=utf-8"
    assert "There is nothing at this address" in answer.text


def test_the_key_is_random_private_and_stays(make_app, tmp_path):
    path = tmp_path / "store" / "secret-key"
    first = make_app().config["SECRET_KEY"]
    assert make_app().config["SECRET_KEY"] == first
    assert len(first) == 64
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_two_stores_have_two_keys(tmp_path):
    assert secret_keys(tmp_path / "a") != secret_keys(tmp_path / "b")


def test_a_key_that_is_too_short_stops_the_start(make_app, tmp_path):
    (tmp_path / "store" / "secret-key").write_text("secret")
    with pytest.raises(SystemExit, match="holds no key of at least 32 characters"):
        make_app()
