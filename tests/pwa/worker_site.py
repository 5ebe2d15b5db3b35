"""An origin whose builds and misbehaviour a test chooses: a small shell with the real service worker.

The worker's list is made by the product's own server code. The shell is small, so that all of it can be compared.
"""

import json
import random
import shutil
from functools import lru_cache
from http.server import BaseHTTPRequestHandler
from pathlib import Path

from static_server import CONTENT_SECURITY_POLICY, ROOT, TYPES

from server.web import shell

REAL_FILES = ("sw.js", "js/sync/update.js", "js/sync/ready.js")
MAIN = """import {{ startUpdates }} from "./sync/update.js";
import {{ checkReady }} from "./sync/ready.js";
globalThis.build = {build};
globalThis.updates = startUpdates();
const phone = {{
  hasRingSet: async () => true, checkWhereUnproven: async () => {{}}, health: {{ ok: true }}, lost: null, isKept: true,
  isTight: false,
}};
globalThis.ready = () => checkReady(phone);
"""
# Playwright's own wait_for_function does not wait for conditions that are promises.
WAIT = """async ([condition, wanted]) => {
    const end = Date.now() + 30_000;
    while (!(await condition(wanted))) {
        if (Date.now() > end) throw new Error("still not so after 30 s: " + condition);
        await new Promise((resolve) => setTimeout(resolve, 20));
    }
}"""


# A build stays as it was made, and every request asks for one of these.
shell_files, worker_script = lru_cache(shell.shell_files), lru_cache(shell.worker_script)
build_of = lru_cache(shell.build_of)


def make_build(folder: Path, build: int, version: str) -> Path:
    """Write the shell of a build; only its texts tell builds apart."""
    for name in REAL_FILES:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "pwa" / name, folder / name)
    (folder / "index.html").write_text(
        f'<!doctype html><html lang="en"><title>build {build}</title><script type="module" src="/js/main.js"></script>'
    )
    (folder / "js" / "main.js").write_text(MAIN.format(build=build))
    (folder / "words.json").write_text(json.dumps({"build": build, "filler": "x" * 5000}))
    (folder / "changelog.json").write_text(json.dumps([{"version": version}]))
    return folder


class WorkerSite:
    """What the origin serves now: `mode` is None or one of MODES, and `down` makes every request fail.

    `alternating` is a chance: every request is met by `folder` or, as often, by `other`, as behind two servers of which
    one was renewed.

    Only the worker's requests are met with the mode; a page's own scripts must load, or there is nobody to be told.
    """

    MODES = ("page for everything", "to the sign-in", "redirect to the same", "cut off", "another build")

    def __init__(self, folder: Path):
        self.folder = folder
        self.other = folder
        self.worker = None  # bytes to serve as /sw.js instead of the true ones
        self.mode = None
        self.alternating: random.Random | None = None
        # Long, as a careless proxy might add: the install must not be filled from the browser's cache.
        self.cache_control = "max-age=600"
        self.down = False
        self.asked = []

    def handler(self):
        site = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"
            disable_nagle_algorithm = True  # head and body are two writes: the second would wait 40 ms for the first

            def do_GET(self):
                self.rfile.read(int(self.headers.get("Content-Length", 0)))  # or it becomes part of the next request
                site.answer(self)

            do_POST = do_PUT = do_GET

            def log_message(self, *arguments):
                """Say nothing."""

        return Handler

    def answer(self, request) -> None:
        path = request.path.partition("?")[0]
        folder = self.alternating.choice((self.folder, self.other)) if self.alternating else self.folder
        self.asked.append((request.command, request.path, request.headers.get("Range")))
        if self.down:
            request.close_connection = True
        elif path == "/sw.js":
            send(request, 200, "text/javascript", self.worker or worker_script(folder))
        elif path not in shell_files(folder):
            send(request, 200, "text/plain", f"{request.command} {path}".encode())
        elif self.mode is None or request.headers.get("Sec-Fetch-Dest") in ("document", "script"):
            self.send_file(request, path, folder)
        else:
            self.misbehave(request, path)

    def misbehave(self, request, path: str) -> None:
        if self.mode == "page for everything":
            send(request, 200, "text/html", b"<html>Welcome to the guest network</html>")
        elif self.mode == "to the sign-in":
            send(request, 302, "text/html", b"", Location="/login")
        elif self.mode == "redirect to the same":
            again = "again" in request.path
            if again:
                self.send_file(request, path, self.folder)
            else:
                send(request, 302, "text/html", b"", Location=f"{path}?again")
        elif self.mode == "cut off":
            self.send_file(request, path, self.folder, part=0.5)
        else:  # a deploy in the middle of an install
            self.send_file(request, path, self.other)

    def send_file(self, request, path: str, folder: Path, part: float = 1) -> None:
        file = shell_files(folder)[path]
        body = file.read_bytes()
        extra = {"Cache-Control": self.cache_control, "Content-Security-Policy": CONTENT_SECURITY_POLICY}
        extra |= [shell.build_header(build_of(folder))]
        send(request, 200, TYPES[file.suffix], body[: int(len(body) * part)], length=len(body), **extra)


def wait_until(page, condition: str, wanted=None) -> None:
    """Wait until a JavaScript condition, a function of `wanted`, holds in the page."""
    page.evaluate(f"async (wanted) => ({WAIT})([{condition}, wanted])", wanted)


def send(request, status: int, content_type: str, body: bytes, length: int | None = None, **headers) -> None:
    """Send one answer; a `length` beyond the body's makes it one that was cut off."""
    request.send_response(status)
    headers = {"Content-Type": content_type, "Content-Length": str(len(body) if length is None else length)} | headers
    for name, text in headers.items():
        request.send_header(name.replace("_", "-"), text)
    request.end_headers()
    request.wfile.write(body)
    request.close_connection = length is not None and length != len(body)
