"""Serves the phone's shell: the files of pwa/ as they stand, and /sw.js with the list of them in front.

The shell is static: no cookie, no session, the same bytes for everybody. Hashes are computed once, at start.
"""

import base64
import hashlib
import json
from pathlib import Path

from flask import Blueprint, Flask, Response, current_app, request
from whitenoise import WhiteNoise

from server.compressed import VARY, compress_files, compress_response

ROOT = Path(__file__).resolve().parent.parent
WORKER = "sw.js"
PICTURES = "pictures/"  # of the manifest: a browser fetches them to offer installing, the phone has no use for them

blueprint = Blueprint("shell", __name__)


def shell_files(folder: Path) -> dict[str, Path]:
    """Return URL -> file for everything that the phone keeps, without the worker itself; "/" is index.html."""
    files = {}
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        if name != WORKER and not name.startswith(PICTURES):
            files["/" if name == "index.html" else f"/{name}"] = path
    return files


def worker_script(folder: Path, off: bool = False) -> bytes:
    """Return the worker's text with the precache list, every URL with its SHA-256 in base64, as its first line.

    `off` is the kill switch: without a list the worker removes itself and its caches from every phone that asks, and
    leaves what the phone has stored alone.
    """
    hashes = {
        url: base64.b64encode(hashlib.sha256(path.read_bytes()).digest()).decode()
        for url, path in shell_files(folder).items()
    }
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
    pwa = Path(app.config["PWA_FOLDER"])
    app.extensions["worker_script"] = worker_script(pwa, app.config["WORKER_OFF"])
    app.register_blueprint(blueprint)
    static = WhiteNoise(
        app.wsgi_app,
        index_file=True,
        max_age=None,
        mimetypes={".webmanifest": "application/manifest+json"},  # WhiteNoise does not know it; the worker insists
        allow_all_origins=False,
        immutable_file_test=lambda _path, _url: False,  # no name here carries a hash
        add_headers_function=_add_headers,
    )
    static.add_files(pwa)
    static.add_files(ROOT / "server" / "static", prefix="/desk/static/")
    static.files.pop(f"/{WORKER}", None)
    compress_files(static.files)
    app.wsgi_app = static


def _add_headers(headers, path: str, _url: str) -> None:
    headers["Cache-Control"] = "no-cache"
    # The ETag must come from the content: WhiteNoise's own, time and size, misses a change that keeps both. It is weak
    # because one stands for the file and its compressed forms.
    headers["ETag"] = f'W/"{hashlib.sha256(Path(path).read_bytes()).hexdigest()}"'
    headers["Vary"] = VARY
