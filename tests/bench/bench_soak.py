"""Two phones at work for a long time while everything goes wrong; what was confirmed is then looked for. Run by hand:

    .venv/bin/python -m tests.bench.bench_soak [--minutes 10] [--times 12]

A phone saves a value every five seconds when somebody works with it, and takes a photo every two minutes; `--times 12`
does in ten minutes what two hours bring. Meanwhile, in turn and at random: the worker is killed, the whole server is
killed and started again, a body is cut off half-way, a request is sent twice, an answer is thrown away unread, 200
connections say nothing. What a portal does to a phone is shown in a browser: tests/faults/test_hostile_network.py. The
phones speak the protocol and have no browser.
"""

import argparse
import collections
import contextlib
import hashlib
import http.client
import json
import os
import random
import signal
import socket
import sys
import tempfile
import threading
import time
import uuid
from pathlib import Path

from server import create_app
from tests.faults import crowd
from tests.live_server import LiveServer
from tests.server.phones import an_entry
from tests.server.pictures_to_send import encoded, picture

SAVE_EVERY_S, PHOTO_EVERY_S, FAULT_EVERY_S = 5.0, 120.0, 60.0
MOST_IN_ONE = 20
LIMIT_S = 60


class Worker(threading.Thread):
    """A phone: it keeps what it saved until the server names it, and sends it again after whatever goes wrong."""

    def __init__(self, server: LiveServer, times: float, seed: int):
        super().__init__()
        self.server, self.times, self.random = server, times, random.Random(seed)
        self.device, self.job, self.n = str(uuid.uuid4()), str(uuid.uuid4()), 0
        self.outbox, self.photos = [], []
        self.confirmed, self.confirmed_photos = set(), set()
        self.faults, self.ends_at, self.headers = collections.Counter(), 0.0, None

    def run(self) -> None:
        next_photo = time.monotonic()
        while time.monotonic() < self.ends_at or self.outbox or self.photos:
            if time.monotonic() < self.ends_at:
                self.save(time.monotonic() >= next_photo)
                if time.monotonic() >= next_photo:
                    next_photo = time.monotonic() + PHOTO_EVERY_S / self.times
            elif time.monotonic() > self.ends_at + LIMIT_S:
                return
            with contextlib.suppress(OSError, http.client.HTTPException, ValueError, KeyError):
                self.send()
            time.sleep(SAVE_EVERY_S / self.times)

    def save(self, with_photo: bool) -> None:
        self.n += 1
        body, kind = {"text": f"note {self.n}"}, "note-written"
        if with_photo:
            content = encoded(picture(64 + self.n % 60, 48), comment=f"{self.device} {self.n}".encode())
            self.photos.append(content)
            body = {"sha256": hashlib.sha256(content).hexdigest(), "mime": "image/jpeg", "about": "witness"}
            kind = "photo-attached"
        self.outbox.append(an_entry(kind, body, job=self.job, device=self.device, n=self.n))

    def send(self) -> None:
        self.headers = self.headers or crowd.session_of(self.server)
        batch = self.outbox[:MOST_IN_ONE]
        body = json.dumps({"device": self.device, "since": None, "entries": batch}).encode()
        fault = self.random.choice(["none"] * 16 + ["cut", "twice", "unread"])
        if fault != "none":
            self.faults[fault] += 1
        if fault == "cut":
            return self.cut(body)
        if fault in ("twice", "unread"):
            self.ask("POST", "/api/entries", body)
        if fault == "unread":
            return None
        status, answer = self.ask("POST", "/api/entries", body)
        if status != 200:
            self.headers = None
            return None
        named = {each["id"] for each in answer["results"] if each["verdict"] in ("accepted", "already")}
        self.confirmed |= named
        self.outbox = [entry for entry in self.outbox if entry["id"] not in named]
        for content in list(self.photos):
            name = hashlib.sha256(content).hexdigest()
            if self.ask("PUT", f"/api/photos/{name}", content)[0] in (200, 201):
                self.confirmed_photos.add(name)
                self.photos.remove(content)
        return None

    def ask(self, method: str, path: str, body: bytes) -> tuple[int, dict]:
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=LIMIT_S)
        with contextlib.closing(connection):
            connection.request(method, path, body, self.headers)
            answer = connection.getresponse()
            return answer.status, json.loads(answer.read())

    def cut(self, body: bytes) -> None:
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=LIMIT_S) as client:
            lines = {"Host": f"127.0.0.1:{self.server.port}", "Content-Length": str(len(body))} | self.headers
            head = "".join(f"{name}: {text}\r\n" for name, text in lines.items())
            client.sendall(f"POST /api/entries HTTP/1.1\r\n{head}\r\n".encode() + body[: len(body) // 2])


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("--minutes", type=float, default=10)
    parser.add_argument("--times", type=float, default=12)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store"
        create_app({"STORE_FOLDER": store, "DEMO_JOBS": False}).extensions["database"].close()
        with LiveServer(store, files=crowd.FILES) as server:
            phones = [Worker(server, chosen.times, chosen.seed + k) for k in range(2)]
            faults = soak(server, phones, chosen)
        return report(store, phones, faults, chosen)


def soak(server: LiveServer, phones: list[Worker], chosen) -> collections.Counter:
    faults, chance, ends_at = collections.Counter(), random.Random(chosen.seed), time.monotonic() + chosen.minutes * 60
    for phone in phones:
        phone.ends_at = ends_at
        phone.start()
    while time.monotonic() < ends_at:
        time.sleep(min(FAULT_EVERY_S / chosen.times * chance.uniform(0.5, 1.5), max(0.0, ends_at - time.monotonic())))
        fault = chance.choice(["worker killed", "worker killed", "server killed", "200 bare connections"])
        faults[fault] += 1
        if fault == "worker killed":
            children = Path(f"/proc/{server.pid}/task/{server.pid}/children").read_text().split()
            with contextlib.suppress(ProcessLookupError, ValueError):  # it is just being started again
                os.kill(max(map(int, children)), signal.SIGKILL)
        elif fault == "server killed":
            server.kill()
            server.start()
        else:
            with contextlib.ExitStack() as stack:
                crowd.bare(server, stack, 200)
    for phone in phones:
        phone.join(2 * LIMIT_S)
        assert not phone.is_alive(), f"expected a phone to end within {2 * LIMIT_S} s of the soak"
    return faults + sum((phone.faults for phone in phones), collections.Counter())


def report(store: Path, phones: list[Worker], faults: collections.Counter, chosen) -> int:
    app = create_app({"STORE_FOLDER": store, "DEMO_JOBS": False})
    lost = doubled = missing_photos = unsent = confirmed = photos = 0
    client = app.test_client()
    for phone in phones:
        here = client.get(f"/api/jobs/{phone.job}/entries").json["entries"]
        numbers = collections.Counter(entry["id"] for entry in here)
        lost += len(phone.confirmed - numbers.keys())
        doubled += sum(number - 1 for number in numbers.values())
        missing_photos += sum(client.get(f"/api/photos/{name}").status_code != 200 for name in phone.confirmed_photos)
        unsent += len(phone.outbox) + len(phone.photos)
        confirmed, photos = confirmed + len(phone.confirmed), photos + len(phone.confirmed_photos)
    app.extensions["database"].close()
    print(f"{chosen.minutes:g} minutes at {chosen.times:g} times the load, two phones, seed {chosen.seed}")
    for fault, number in sorted(faults.items()):
        print(f"| {fault} | {number} |")
    print(f"| values confirmed | {confirmed} | lost | {lost} | doubled | {doubled} | still waiting | {unsent} |")
    print(f"| photos confirmed | {photos} | lost | {missing_photos} |")
    return 1 if lost or doubled or missing_photos or unsent else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
