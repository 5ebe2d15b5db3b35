"""What the phone's shell is served with: headers on every answer, hashes for every file, caches that notice changes."""

import base64
import hashlib
import json
import os
import shutil
from pathlib import Path

import pytest

from server.web import shell
from server.web.headers import HEADERS

PWA = Path(__file__).resolve().parents[3] / "pwa"


@pytest.fixture
def client(app):
    return app.test_client()


def precache(client):
    first_line = client.get("/sw.js").text.split("\n", 1)[0]
    assert first_line.startswith("self.PRECACHE = ")
    return json.loads(first_line.removeprefix("self.PRECACHE = ").removesuffix(";"))


def test_the_precache_names_every_file_with_the_hash_of_what_is_served(client):
    files = precache(client)["files"]
    names = {"/" + path.relative_to(PWA).as_posix() for path in PWA.rglob("*") if path.is_file()}
    pictures = {name for name in names if name.startswith("/pictures/")}
    assert pictures
    assert "/README.md" in names
    assert client.get("/README.md").status_code == 404
    assert set(files) == names - pictures - {"/sw.js", "/index.html", "/README.md"} | {"/"}
    for url, listed in files.items():
        answer = client.get(url)
        assert answer.status_code == 200
        assert base64.b64encode(hashlib.sha256(answer.data).digest()).decode() == listed


def test_the_worker_follows_its_list(client):
    text = client.get("/sw.js").text
    worker = PWA / "sw.js"
    if worker.exists():
        assert text.split("\n", 1)[1] == worker.read_text("utf-8")


def every_static_url(client):
    return [
        *precache(client)["files"],
        "/pictures/wheel.png",
        "/desk/static/desk.css",
        "/desk/static/tokens.css",
        "/sw.js",
    ]


def test_the_desk_has_the_phones_tokens_at_an_address_that_no_worker_answers(client):
    phones, desks = client.get("/css/tokens.css"), client.get("/desk/static/tokens.css")
    assert phones.status_code == desks.status_code == 200
    assert phones.data == desks.data == (PWA / "css" / "tokens.css").read_bytes()


def test_every_static_answer_has_every_security_header(client):
    for url in every_static_url(client):
        answers = [client.get(url), client.head(url), client.post(url)]
        answers.append(client.get(url, headers={"If-None-Match": answers[0].headers["ETag"]}))
        answers.append(client.get(url, headers={"Range": "bytes=0-3"}))
        assert answers[3].status_code == 304
        for answer in answers:
            assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS, url
            assert "Access-Control-Allow-Origin" not in answer.headers


@pytest.mark.parametrize(
    "path", ["/api/session", "/api/nothing", "/desk/", "/nothing", "/index.html", "/api/ring-sets"]
)
def test_every_other_answer_has_every_security_header(client, path):
    answer = client.get(path)
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS


def test_the_policy_forbids_inline_script_and_foreign_content():
    policy = dict(part.split(" ", 1) for part in HEADERS["Content-Security-Policy"].split("; "))
    assert policy == {
        "default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "connect-src": "'self'",
        "manifest-src": "'self'", "worker-src": "'self'", "img-src": "'self' blob:", "form-action": "'self'",
        "base-uri": "'none'", "object-src": "'none'", "frame-ancestors": "'none'",
        "require-trusted-types-for": "'script'", "trusted-types": "tapermark",
    }  # fmt: skip


def test_nothing_static_is_cached_without_asking_because_no_name_carries_a_hash(client):
    for url in every_static_url(client):
        assert client.get(url).headers["Cache-Control"] == "no-cache", url


def test_only_a_table_is_immutable_and_its_name_is_its_hash(client):
    tables = [ring_set["table"] for ring_set in client.get("/api/ring-sets").json["ring_sets"]]
    assert len(tables) == 3
    for name in tables:
        answer = client.get(f"/api/tables/{name}")
        assert "immutable" in answer.headers["Cache-Control"]
        assert hashlib.sha256(answer.data).hexdigest() == name
        assert json.loads(answer.data)["format"] == 1


def test_the_shell_is_the_same_for_everybody(app):
    """No cookie, no Vary but for the encoding, no token, no name."""
    anonymous, paired, other = app.test_client(), app.test_client(), app.test_client()
    paired.get("/api/session")
    other.get("/api/session")
    for url in ("/", "/sw.js"):
        answers = [client.get(url) for client in (anonymous, paired, other)]
        assert len({answer.data for answer in answers}) == 1
        for answer in answers:
            assert "Set-Cookie" not in answer.headers
            assert answer.headers["Vary"] == "Accept-Encoding"
        assert anonymous.get(url, environ_base={"REMOTE_ADDR": "192.0.2.1"}).data == answers[0].data


def test_the_worker_is_always_javascript_and_never_a_redirect(app):
    client = app.test_client()
    for environ in ({}, {"REMOTE_ADDR": "192.0.2.1"}, {"HTTP_HOST": "phones.example"}):
        answer = client.get("/sw.js", environ_base=environ)
        assert answer.status_code == 200
        assert answer.mimetype == "text/javascript"


def shell_of(make_app, folder):
    return make_app(PWA_FOLDER=str(folder)).test_client()


def test_a_change_of_the_same_length_and_time_is_noticed(make_app, tmp_path):
    """WhiteNoise's own ETag would answer 304 here."""
    folder = tmp_path / "pwa"
    shutil.copytree(PWA, folder)
    times = (1_700_000_000, 1_700_000_000)
    answers = []
    for digit in "12":
        for name in ("sw.js", "index.html", "one.js"):
            (folder / name).write_text(f"// build {digit}\n")
            os.utime(folder / name, times)
        client = shell_of(make_app, folder)
        answers.append({url: client.get(url) for url in ("/sw.js", "/", "/one.js")})
    for url, before in answers[0].items():
        after = client.get(url, headers={"If-None-Match": before.headers["ETag"]})
        assert after.status_code == 200, url
        assert after.data != before.data


def test_who_asks_by_time_alone_gets_the_file(client):
    """Cause: a cache asked only by time, and was told that nothing changed, where an older release had come back."""
    for url in every_static_url(client):
        answer = client.get(url, headers={"If-Modified-Since": "Tue, 01 Jan 2030 00:00:00 GMT"})
        assert (answer.status_code, "Last-Modified" in answer.headers) == (200, False), url


def test_any_changed_file_changes_the_worker(make_app, tmp_path):
    folder = tmp_path / "pwa"
    shutil.copytree(PWA, folder)
    before = shell_of(make_app, folder).get("/sw.js").headers["ETag"]
    with (folder / "checklist.json").open("a") as file:
        file.write(" ")
    assert shell_of(make_app, folder).get("/sw.js").headers["ETag"] != before


def test_the_version_is_that_of_the_newest_release(tmp_path):
    (tmp_path / "index.html").write_text("x")
    (tmp_path / "changelog.json").write_text('[{"version": "0.2.0"}, {"version": "0.1.0"}]')
    assert b'"version":"0.2.0"' in shell.worker_script(tmp_path)


def test_the_kill_switch_sends_a_worker_without_a_list(make_app):
    """What such a worker does on a phone: tests/pwa/test_service_worker.py."""
    client = make_app(WORKER_OFF=True).test_client()
    assert precache(client)["files"] is None
    assert "Clear-Site-Data" not in client.get("/sw.js").headers
    assert client.get("/checklist.json").status_code == 200


@pytest.mark.parametrize(
    "path", ["/../server/config.py", "/%2e%2e/pyproject.toml", "/..%2fpyproject.toml", "//etc/passwd"]
)
def test_nothing_outside_the_shell_is_served(client, path):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize("header", ["bytes=0-0", "bytes=0-9", "bytes=-1", "bytes=5-"])
def test_a_range_never_gives_wrong_bytes(client, header):
    """WhiteNoise answers 416 to a range of one byte; it must at least never answer wrong bytes."""
    whole = client.get("/checklist.json").data
    answer = client.get("/checklist.json", headers={"Range": header})
    assert answer.status_code in (206, 416)
    if answer.status_code == 206:
        first, last = answer.headers["Content-Range"].removeprefix("bytes ").split("/")[0].split("-")
        assert answer.data == whole[int(first) : int(last) + 1]
