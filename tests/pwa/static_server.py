"""A loopback server for the browser tests: the shell at /, tests/pwa at /tests/, fixtures/ at /fixtures/.

It is not the product's server: no API, no precache list. It never reads outside these three folders.
"""

import sys
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from tests.at_once import begun, ended

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = {"/tests/": ROOT / "tests" / "pwa", "/fixtures/": ROOT / "fixtures", "/": ROOT / "pwa"}
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
}
# The product's own policy, so that a test finds what would be refused on a phone.
CONTENT_SECURITY_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; img-src 'self' blob:; form-action 'self'; base-uri 'none'; object-src 'none'; "
    "frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types tapermark"
)


def file_of(path: str, folders: dict[str, Path] = FOLDERS) -> Path | None:
    """Return the file that a URL path names, or None."""
    prefix = next(prefix for prefix in folders if path.startswith(prefix))
    folder = folders[prefix]
    wanted = (folder / (path[len(prefix) :] or "index.html")).resolve()
    return wanted if wanted.is_relative_to(folder) and wanted.is_file() else None


class StaticHandler(BaseHTTPRequestHandler):
    """Answers GET for the files of `folders`; a subclass may have others, or answer more."""

    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True  # head and body are two writes: the second would wait 40 ms for the first
    folders = FOLDERS

    def do_GET(self):
        file = file_of(self.path.partition("?")[0], self.folders)
        if file is None:
            self.answer(404, "text/plain; charset=utf-8", b"no such file")
        else:
            # Neither a phone that opens the program again nor the next one (used_phones.py) need fetch it again.
            kept = {"Cache-Control": "max-age=3600"}
            self.answer(200, TYPES.get(file.suffix, "application/octet-stream"), file.read_bytes(), kept)

    def answer(self, status: int, content_type: str, body: bytes, headers: dict | None = None):
        """Send one whole answer."""
        known = {"Content-Type": content_type, "Content-Length": str(len(body)), "Cache-Control": "no-store"}
        if content_type.startswith("text/html"):
            known["Content-Security-Policy"] = CONTENT_SECURITY_POLICY
        self.send_response(status)
        for name, text in (known | (headers or {})).items():
            self.send_header(name, text)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *arguments):
        """Say nothing: the failing test tells what was asked."""


class QuietServer(ThreadingHTTPServer):
    """A threading server that does not print the broken pipes of pages that close early."""

    daemon_threads = True

    def handle_error(self, request, client_address):
        """A closed connection is the test's own doing; anything else is a fault of the test's server."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


@contextmanager
def serving(handler: type[BaseHTTPRequestHandler] = StaticHandler, port: int = 0):
    """Serve on a free loopback port; give the server, whose `origin` is its address."""
    server = QuietServer(("127.0.0.1", port), handler)
    server.origin = f"http://127.0.0.1:{server.server_address[1]}"
    serving = begun(server.serve_forever, 0.02)
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()
        ended(serving)
