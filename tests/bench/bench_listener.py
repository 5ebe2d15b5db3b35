"""What strangers can do to the listener, and what it gives to others meanwhile. Run by hand, some four minutes:

    .venv/bin/python -m tests.bench.bench_listener

With 1,024 files for the server: 40 stalled bodies of one paired browser, 1,100 bare connections of one address and of
many, their release, new TLS connections and small answers a second.
"""

import http.client
import sys
import tempfile
import time
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path

from server import create_app
from server.keys.certificate import make
from tests.faults import crowd
from tests.live_server import LiveServer

HEAL_LIMIT_S = 60


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store"
        create_app({"STORE_FOLDER": store, "DEMO_JOBS": False}).extensions["database"].close()
        begun = time.monotonic()
        with LiveServer(store, files=crowd.FILES) as server:
            print(f"| start until the first answer | {time.monotonic() - begun:.2f} s |")
            print(f"| `GET /sw.js` a second, one connection | {answers_a_second(server):.0f} |", flush=True)
            stalled_bodies(server)
        make(store, ["127.0.0.1"], datetime.now(UTC))
        with LiveServer(store, https=True, files=crowd.FILES) as server:
            print(f"| new TLS connections a second | {crowd.new_connections_a_second(server):.0f} |", flush=True)
            bare_connections(server, ["127.0.0.1"])
        with LiveServer(store, https=True, files=crowd.FILES) as server:
            bare_connections(server, [crowd.address(k) for k in range(500)])


def answers_a_second(server: LiveServer, seconds: float = 3) -> float:
    connection, number, begun = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5), 0, time.monotonic()
    while (spent := time.monotonic() - begun) < seconds:
        connection.request("GET", "/sw.js")
        connection.getresponse().read()
        number += 1
    connection.close()
    return number / spent


def stalled_bodies(server: LiveServer) -> None:
    with ExitStack() as stack:
        headers = crowd.session_of(server)
        for _ in range(40):
            crowd.stalled(server, stack, "/api/entries", headers, 100_000)
        shown("another's answer beside 40 stalled bodies of a phone", crowd.answer_s(server))
    with ExitStack() as stack:
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        for k in range(40):
            crowd.stalled(server, stack, "/desk/sign-in", form, 1_000, crowd.address(k // 4))
        shown("the same beside 40 stalled bodies of ten strangers", crowd.answer_s(server))
        shown("and a short form of the owner", form_s(server))


def form_s(server: LiveServer) -> float | None:
    connection, begun = http.client.HTTPConnection("127.0.0.1", server.port, timeout=crowd.LIMIT_S), time.monotonic()
    try:
        connection.request(
            "POST", "/desk/sign-in", b"name=x&password=y", {"Content-Type": "application/x-www-form-urlencoded"}
        )
        return time.monotonic() - begun if connection.getresponse().status != 429 else None
    except OSError:
        return None
    finally:
        connection.close()


def bare_connections(server: LiveServer, sources: list[str]) -> None:
    what = f"{crowd.BARE} bare connections of {len(sources)} address{'es' if len(sources) > 1 else ''}"
    with ExitStack() as stack:
        crowd.bare(server, stack, crowd.BARE, sources)
        shown(f"another's answer beside {what}", crowd.answer_s(server))
        print(f"| files that the server has open then | {crowd.open_files(server.pid)} |", flush=True)
    shown("an answer after their release", crowd.seconds_until_answered(server, HEAL_LIMIT_S))


def shown(what: str, seconds: float | None) -> None:
    print(f"| {what} | {'none' if seconds is None else f'{seconds:.2f} s'} |", flush=True)


if __name__ == "__main__":
    sys.exit(main())
