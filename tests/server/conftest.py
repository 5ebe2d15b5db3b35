"""An application on a fresh store for each test, with a clock that the test sets."""

import json
import uuid

import pytest

from server import create_app

START_MS = 1_790_000_000_000  # a day in September 2026


class Clock:
    def __init__(self):
        self.now_ms = START_MS

    def __call__(self):
        return self.now_ms


class Phone:
    """A paired phone as far as the server can see one: a cookie jar, a device id and a count."""

    def __init__(self, app, device=None):
        self.client = app.test_client()
        self.device = device or str(uuid.uuid4())
        self.count = 0
        self.cursor = None

    def entry(self, job, kind="note-written", body=None, slot=None, **changes):
        """Make the next entry of this phone; `changes` replace any field."""
        self.count += 1
        own = str(uuid.uuid4())
        entry = {
            "format": 1, "id": own, "job": job, "device": self.device, "n": self.count,
            "at": "2026-11-25T08:30:00.000+01:00", "by": "Ines Tavell", "kind": kind, "slot": slot or own,
            "after": [], "body": {"text": "looked at"} if body is None else body,
        }  # fmt: skip
        return entry | changes

    def token(self):
        return self.client.get("/api/session").json["csrf"]

    def post(self, entries, since=None, device=None):
        body = {"device": device or self.device, "since": since, "entries": entries}
        return self.client.post("/api/entries", json=body, headers={"X-CSRFToken": self.token()})

    def sync(self, entries=()):
        """One round trip from the phone's cursor; returns the answer's JSON."""
        answer = self.post(list(entries), self.cursor)
        assert answer.status_code == 200, answer.text
        self.cursor = answer.json["next"]
        return answer.json

    def sync_all(self, entries=()):
        """Sync until nothing more comes; returns every entry that came."""
        answer = self.sync(entries)
        came = answer["entries"]
        while answer["more"]:
            answer = self.sync()
            came += answer["entries"]
        return came

    def put_photo(self, name, content):
        return self.client.put(f"/api/photos/{name}", data=content, headers={"X-CSRFToken": self.token()})


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def make_app(tmp_path, clock):
    """Return a function that opens an application on the test's store; all are closed at the end."""
    apps = []

    def make(**overrides):
        app = create_app({"STORE_FOLDER": tmp_path / "store", "TESTING": True, "NOW_MS": clock, **overrides})
        app.config["PROPAGATE_EXCEPTIONS"] = False  # a view's fault must become an answer here too
        apps.append(app)
        return app

    yield make
    for app in apps:
        app.extensions["database"].close()


@pytest.fixture
def app(make_app):
    """An application whose shop has ring sets but no job sheet."""
    return make_app(DEMO_JOBS=False)


@pytest.fixture
def phone(app):
    return Phone(app)


@pytest.fixture
def second_phone(app):
    return Phone(app)


@pytest.fixture
def job():
    return str(uuid.uuid4())


def problem(answer):
    """Return the code of a refusal, after checking its shape."""
    error = json.loads(answer.data)["error"]
    assert set(error) == {"code", "text", "details"}
    assert error["text"].endswith(".")
    assert answer.headers["X-Tapermark"] == "1"
    return error["code"]
