"""The phones of phones.py over real HTTP: `Phone(LiveApp(url))`. One connection each, kept open as browsers do."""

import http.client
import json
from dataclasses import dataclass
from http.cookies import SimpleCookie
from urllib.parse import urlsplit

_LIMIT_S = 120


@dataclass(frozen=True)
class Answer:
    status_code: int
    data: bytes

    @property
    def json(self):
        return json.loads(self.data)

    @property
    def text(self) -> str:
        return self.data.decode("utf-8", "replace")


class HttpClient:
    """As much of Flask's test client as a phone needs. Not for several threads at once."""

    def __init__(self, url: str):
        self._connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=_LIMIT_S)
        self._cookie = None

    def get(self, path: str) -> Answer:
        return self._send("GET", path, None, {})

    def post(self, path: str, json, headers: dict) -> Answer:
        return self._send("POST", path, _bytes_of(json), headers | {"Content-Type": "application/json"})

    def put(self, path: str, data: bytes, headers: dict) -> Answer:
        return self._send("PUT", path, data, headers)

    def close(self) -> None:
        self._connection.close()

    def _send(self, method: str, path: str, body: bytes | None, headers: dict) -> Answer:
        if self._cookie:
            headers = headers | {"Cookie": self._cookie}
        self._connection.request(method, path, body, headers)
        response = self._connection.getresponse()
        for line in response.headers.get_all("Set-Cookie", []):
            self._cookie = "; ".join(f"{name}={part.value}" for name, part in SimpleCookie(line).items())
        return Answer(response.status, response.read())


class LiveApp:
    """Stands where phones.py expects an application; several urls are one shop's servers, taken in turn.

    In a with statement, at whose end every phone's connection is closed.
    """

    def __init__(self, *urls: str):
        self._urls, self._clients = urls, []

    def test_client(self) -> HttpClient:
        self._clients.append(HttpClient(self._urls[len(self._clients) % len(self._urls)]))
        return self._clients[-1]

    def __enter__(self):
        return self

    def __exit__(self, *_):
        for client in self._clients:
            client.close()


def _bytes_of(body) -> bytes:
    return json.dumps(body).encode()
