"""A real shared cache between phones, desk and server, which keeps for everybody whatever does not forbid it.

Nobody gets what was another's, and behind it no file of an older build comes once the server has a newer one.
"""

import base64
import gzip
import hashlib
import http.client
import json
import shutil
from contextlib import contextmanager

import brotli
import pytest
from sqlalchemy import select
from werkzeug.serving import WSGIRequestHandler, make_server
from werkzeug.wrappers import Response

from server import create_app
from server.store import schema
from tests.at_once import begun, ended
from tests.conftest import IN_CI
from tests.live_server import ROOT
from tests.shared_cache import SharedCache, program

pytestmark = pytest.mark.full

OPEN = {"": bytes, "br": brotli.decompress, "gzip": gzip.decompress}
KEPT = "/kept-by-the-test"


class Quiet(WSGIRequestHandler):
    protocol_version = "HTTP/1.1"

    def log(self, *_arguments):
        """Say nothing."""


class Origin:
    """Serves `app`, which a test may exchange; one address of its own may be kept, and nobody else's."""

    app = None

    def __call__(self, environ, start_response):
        if environ["PATH_INFO"] == KEPT:
            return Response("x", headers={"Cache-Control": "max-age=600"})(environ, start_response)
        return self.app(environ, start_response)


@pytest.fixture(scope="module")
def apps(tmp_path_factory):
    """Two builds of the program on one demo shop."""
    folder = tmp_path_factory.mktemp("cache")
    newer = folder / "newer"
    shutil.copytree(ROOT / "pwa", newer)
    for name in ("index.html", "js/main.js", "text/en/ui.json", "css/base.css"):
        with (newer / name).open("a") as file:
            file.write("\n")
    store = {"STORE_FOLDER": folder / "store"}
    made = [create_app(store), create_app(store | {"PWA_FOLDER": str(newer)})]
    yield made
    for app in made:
        app.extensions["database"].close()


@contextmanager
def serving(origin: Origin):
    server = make_server("127.0.0.1", 0, origin, threaded=True, request_handler=Quiet)
    serving = begun(server.serve_forever)
    try:
        yield server.server_port
    finally:
        server.shutdown()
        server.server_close()
        ended(serving)


@pytest.fixture(scope="module")
def shop(apps):
    """(origin, the cache's port)"""
    if program() is None:
        (pytest.fail if IN_CI else pytest.skip)("no squid: run `sh tests/run` as root, which brings it")
    origin = Origin()
    origin.app = apps[0]
    with serving(origin) as port, SharedCache(port) as cache:
        yield origin, cache.port


class Person:
    """Asks through the cache, with the cookies that this one was given."""

    def __init__(self, port: int):
        self._port, self._cookies = port, {}

    def get(self, path: str, **headers):
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=60)
        if self._cookies:
            headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        for line in answer.headers.get_all("Set-Cookie", []):
            name, _, value = line.partition(";")[0].partition("=")
            self._cookies[name] = value
        return answer, body


def came_from_cache(answer) -> bool:
    return answer.headers["X-Cache"].startswith("HIT")


def addresses(app, job: str, table: str):
    """Every address that can be asked for, with a job and a table that are there."""
    known = {"job": job, "name": table, "job_id": job}
    for rule in app.url_map.iter_rules():
        if "GET" in rule.methods and rule.endpoint != "static":
            typed = {
                name: known.get(name, 1 if kind.regex == r"\d+" else "0" * 36)
                for name, kind in rule._converters.items()
            }
            yield app.url_map.bind("127.0.0.1").build(rule.endpoint, typed, "GET")


def test_the_cache_keeps_what_may_be_kept(shop):
    """Else the others could not fail."""
    person = Person(shop[1])
    assert [came_from_cache(person.get(KEPT)[0]) for _ in range(2)] == [False, True]


def test_no_answer_for_one_person_reaches_another(shop, apps):
    phone = Person(shop[1])
    session = json.loads(phone.get("/api/session")[1])
    with apps[0].extensions["database"].transaction() as connection:
        job = connection.scalar(select(schema.job.c.id).limit(1))
        table = connection.scalar(select(schema.ring_table.c.sha256).limit(1))
    asked = list(addresses(apps[0], job, table))
    assert len(asked) > 40
    for path in asked:
        for person in (phone, Person(shop[1]), phone):
            answer, _ = person.get(path)
            assert not came_from_cache(answer), path
            assert answer.status < 500, path
    stranger = json.loads(Person(shop[1]).get("/api/session")[1])
    assert stranger["csrf"] != session["csrf"]


def test_no_file_of_an_older_build_comes_once_the_server_has_a_newer_one(shop, apps):
    origin, port = shop
    seen = []
    for app in (*apps, apps[0]):
        origin.app = app
        for encoding, opened in OPEN.items():
            answer, script = Person(port).get("/sw.js", **{"Accept-Encoding": encoding})
            found = opened(script) if answer.headers["Content-Encoding"] else script
            files = json.loads(found.split(b";\n")[0].partition(b" = ")[2])["files"]
            builds = set()
            for url in files:
                answer, body = Person(port).get(url, **{"Accept-Encoding": encoding})
                body = opened(body) if answer.headers["Content-Encoding"] else body
                assert base64.b64encode(hashlib.sha256(body).digest()).decode() == files[url], (url, encoding)
                builds.add(answer.headers["Server-Timing"])
            assert len(builds) == 1, "each file says the build that the server has now"
            seen.append(builds.pop())
    assert seen[0] == seen[-1] != seen[3], "and there were two"
