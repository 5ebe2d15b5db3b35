"""A shop of its own for the tests of people and pairing, and a browser at its desk."""

import re

from tests.server.phones import Phone

OWNER = "Ines Tavell"
PASSWORD = "quiet lamp under seven boats"
SHOP = "Larkmoor Wheel Works"
HTTPS = "https://shop.example"


class Desk:
    """A browser at the desk, over HTTPS as from another machine; every form is sent with the token of its page."""

    def __init__(self, app, address="192.0.2.10"):
        self.client = app.test_client()
        self.address = address

    def get(self, path, **kwargs):
        return self.client.get(path, base_url=HTTPS, environ_base={"REMOTE_ADDR": self.address}, **kwargs)

    def post(self, path, fields=(), page=None, **kwargs):
        """Send a form to `path`; its token is taken from `page`, or from the sign-in page."""
        token = re.search(r'name="csrf_token" value="([^"]+)"', self.get(page or "/desk/sign-in").text)[1]
        return self.client.post(
            path, data={"csrf_token": token, **dict(fields)}, base_url=HTTPS,
            environ_base={"REMOTE_ADDR": self.address}, headers={"Referer": f"{HTTPS}/"}, **kwargs,
        )  # fmt: skip

    def sign_in(self, name=OWNER, password=PASSWORD):
        return self.post("/desk/sign-in", {"name": name, "password": password})

    def signed_in(self, name=OWNER, password=PASSWORD):
        assert self.sign_in(name, password).status_code == 303
        return self

    def add_person(self, name, role, password=PASSWORD):
        fields = {"name": name, "role": role, "new": password, "again": password}
        assert self.post("/desk/people", fields).status_code == 303
        return re.search(rf'/desk/people/([0-9a-f-]{{36}})">{name}<', self.get("/desk/people").text)[1]

    def make_code(self, name="Pit phone"):
        page = self.post("/desk/phones/code", {"name": name}).text
        return re.search(r'<p class="code">([^<]+)</p>', page)[1]

    def audit(self):
        """The audit's lines, newest first, as (who, what, about)."""
        rows = re.findall(r"<tr>(<td.*?)</tr>", self.get("/desk/audit").text, re.DOTALL)
        return [tuple(re.findall(r"<td[^>]*>(.*?)</td>", row, re.DOTALL)[1:4]) for row in rows]


class FarPhone(Phone):
    """A phone on the shop's network: over HTTPS, from its own address."""

    def __init__(self, app, address="192.0.2.77", device=None):
        super().__init__(app, device)
        self.address = address

    def ask(self, method, path, **kwargs):
        headers = {"Referer": f"{HTTPS}/"} | kwargs.pop("headers", {})
        return self.client.open(
            path, method=method, base_url=HTTPS, environ_base={"REMOTE_ADDR": self.address}, headers=headers, **kwargs
        )

    def session(self):
        return self.ask("GET", "/api/session")

    def token(self):
        return self.session().json["csrf"]

    def pair(self, code, **headers):
        token = self.ask("GET", "/api/pair").json["csrf"]
        return self.ask("POST", "/api/pair", json={"code": code}, headers={"X-CSRFToken": token} | headers)

    def post(self, entries, since=None, device=None, **said):
        body = {"device": device or self.device, "since": since, "entries": entries, **said}
        return self.ask("POST", "/api/entries", json=body, headers={"X-CSRFToken": self.token()})

    def put_photo(self, name, content):
        headers = {"X-CSRFToken": self.token()}
        return self.ask("PUT", f"/api/photos/{name}", data=content, headers=headers)
