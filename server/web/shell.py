"""Serves the phone's shell: the files of pwa/ as they stand, and /sw.js with the list of them in front.

The shell is static: no cookie, no session, the same bytes for everybody. A process reads and hashes each file once.
"""

import base64
import hashlib
import json
import os
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from flask import Blueprint, Flask, Response, current_app, request
from whitenoise import WhiteNoise
from whitenoise.responders import StaticFile

from server.web.compressed import VARY, compress_files, compress_response

ROOT = Path(__file__).resolve().parents[2]
DESK_FILES = ROOT / "server" / "static"
WORKER = "sw.js"
NOTES = "README.md"  # what engineers read beside the files: no phone needs it
TOKENS = "/css/tokens.css"  # the phone's colours, type and shapes, which are the desk's too
DESK_COPY = "/desk/phone"  # the same files again, for the customer's report at the desk, which the phone's code writes
_FOR_REPORT = ("/js/", "/text/", "/css/", "/checklist.json")
PICTURES = "pictures/"  # of the manifest: a browser fetches them to offer installing, the phone has no use for them

blueprint = Blueprint("shell", __name__)


def shell_files(folder: Path) -> dict[str, Path]:
    """Return URL -> file for everything that the phone keeps, without the worker itself; "/" is index.html."""
    files = {}
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        if name not in (WORKER, NOTES) and not name.startswith(PICTURES):
            files["/" if name == "index.html" else f"/{name}"] = path
    return files


def worker_script(folder: Path, off: bool = False) -> bytes:
    """Return the worker's text with the precache list, every URL with its SHA-256 in base64, as its first line.

    `off` is the kill switch: without a list the worker removes itself and its caches from every phone that asks, and
    leaves what the phone has stored alone.
    """
    hashes = {url: base64.b64encode(_digest_of(path)).decode() for url, path in shell_files(folder).items()}
    changelog = folder / "changelog.json"
    version = json.loads(changelog.read_text("utf-8"))[0]["version"] if changelog.exists() else "0"
    precache = json.dumps({"version": version, "files": None if off else hashes}, separators=(",", ":"))
    worker = folder / WORKER
    return f"self.PRECACHE = {precache};\n".encode() + (worker.read_bytes() if worker.exists() else b"")


@blueprint.get("/sw.js")
def worker():
    """The service worker. Always JavaScript, never a redirect: a worker that gets anything else is stranded."""
    response = Response(current_app.extensions["worker_script"], mimetype="text/javascript")
    response.cache_control.no_cache = True
    response.add_etag(weak=True)
    return compress_response(response).make_conditional(request)


def init_app(app: Flask) -> None:
    pwa, off = Path(app.config["PWA_FOLDER"]), app.config["WORKER_OFF"]
    script, files = _prepared(pwa, off, (*_files_as_they_stand(pwa), *_files_as_they_stand(DESK_FILES)))
    app.extensions["worker_script"] = script
    app.register_blueprint(blueprint)
    static = WhiteNoise(app.wsgi_app)
    static.files = files
    app.wsgi_app = static


@lru_cache(maxsize=4)
def _prepared(pwa: Path, off: bool, _files: tuple) -> tuple[bytes, dict]:
    """Return the worker's text and URL -> what answers for it. Tests make many applications of the same files."""
    script, build = worker_script(pwa, off), build_of(pwa)
    static = WhiteNoise(
        None,
        index_file=True,
        max_age=None,
        mimetypes={".webmanifest": "application/manifest+json"},  # WhiteNoise does not know it; the worker insists
        allow_all_origins=False,
        immutable_file_test=lambda _path, _url: False,  # no name here carries a hash
        add_headers_function=lambda headers, path, _url: _add_headers(headers, path, build),
    )
    static.add_files(pwa)
    static.add_files(DESK_FILES, prefix="/desk/static/")
    for name in (WORKER, NOTES):
        static.files.pop(f"/{name}", None)
    if TOKENS in static.files:  # below /desk/, where no phone's worker answers with those of its own build
        static.files["/desk/static/tokens.css"] = static.files[TOKENS]
    for file in static.files.values():
        if isinstance(file, StaticFile):
            _forget_time(file)
    compress_files(static.files)
    static.files |= {f"{DESK_COPY}{url}": file for url, file in static.files.items() if url.startswith(_FOR_REPORT)}
    return script, static.files


def build_of(folder: Path) -> str:
    """Return a short name of all that the phone gets from `folder`, by content."""
    return hashlib.sha256(worker_script(folder)).hexdigest()[:16]


def build_header(build: str) -> tuple[str, str]:
    """Return the header by which a page sees of which build each of its files is: it can read no other one of them."""
    return "Server-Timing", f"build;desc={build}"


def _add_headers(headers, path: str, build: str) -> None:
    headers["Cache-Control"] = "no-cache"
    # The ETag must come from the content: WhiteNoise's own, time and size, misses a change that keeps both. It is weak
    # because one stands for the file and its compressed forms. The build is in it, for with a 304 the older answer's
    # headers go on holding.
    headers["ETag"] = f'W/"{_digest_of(Path(path)).hex()}-{build}"'
    headers["Vary"] = VARY
    headers.add_header(*build_header(build))


def _forget_time(file: StaticFile) -> None:
    """A cache may ask by time alone, and a release that is taken back has older files: the ETag tells them apart."""
    file.last_modified = None
    file.alternatives = [
        (encoding, path, [pair for pair in headers if pair[0] != "Last-Modified"])
        for encoding, path, headers in file.alternatives
    ]


def _digest_of(path: Path) -> bytes:
    return _digest_as_it_stands(_as_it_stands(os.fspath(path), path.stat()))


@lru_cache(maxsize=4096)
def _digest_as_it_stands(file: tuple) -> bytes:
    return hashlib.sha256(Path(file[0]).read_bytes()).digest()


def _files_as_they_stand(folder: Path) -> Iterator[tuple]:
    for path, _, names in os.walk(folder):
        for name in names:
            file = os.path.join(path, name)
            yield _as_it_stands(file, os.stat(file))


def _as_it_stands(file: str, found: os.stat_result) -> tuple:
    """Return what is another as soon as a file is: whoever sets its times back cannot set that of the last change."""
    return file, found.st_ino, found.st_size, found.st_mtime_ns, found.st_ctime_ns
