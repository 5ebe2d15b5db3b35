"""What the server's tests drive it with: a clock to set, and a phone as far as the server can see one."""

import html
import json
import re
import uuid

from flask.testing import FlaskClient

START_MS = 1_790_000_000_000  # a day in September 2026


class AsShown:
    """An answer whose text is, of a page, as a browser shows it: where a template turns its line stands a blank."""

    @property
    def text(self) -> str:
        return re.sub(r"\s*\n\s*", " ", super().text) if self.mimetype == "text/html" else super().text


class BufferedClient(FlaskClient):
    """Reads every answer to its end and closes it, so that no file stays open behind a test."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.response_wrapper = type("Answer", (AsShown, self.response_wrapper), {})

    def open(self, *args, **kwargs):
        return super().open(*args, **{"buffered": True} | kwargs)


class Clock:
    def __init__(self):
        self.now_ms = START_MS

    def __call__(self):
        return self.now_ms


def an_entry(kind="note-written", body=None, slot=None, **changes):
    """An entry as a phone writes it, by itself in a job of its own; `changes` replace any field."""
    own = str(uuid.uuid4())
    entry = {
        "format": 1, "id": own, "job": str(uuid.uuid4()), "device": str(uuid.uuid4()), "n": 1,
        "at": "2026-11-25T08:30:00.000+01:00", "by": "Ines Tavell", "kind": kind, "slot": slot or own, "after": [],
        "body": {"text": "looked at"} if body is None else body,
    }  # fmt: skip
    return entry | changes


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
        return an_entry(kind, body, slot, **({"job": job, "device": self.device, "n": self.count} | changes))

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


def problem(answer):
    """Return the code of a refusal, after checking its shape."""
    error = json.loads(answer.data)["error"]
    assert set(error) == {"code", "text", "details"}
    assert error["text"].endswith(".")
    assert answer.headers["X-Tapermark"] == "1"
    return error["code"]


def sheet_text(phone, job: str) -> str:
    """Return all that the desk's page of a job says, without its markup."""
    answer = phone.client.get(f"/desk/jobs/{job}")
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", answer.text)))
