"""Asks the WSGI application in a thread of its own, once a request is whole, and takes its answer whole too.

So no thread waits for anybody's network, neither while a body comes nor while an answer goes.
"""

import asyncio
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import unquote_to_bytes, urlsplit

import h11

from server.listen import limits

_PICTURES = "/api/photos/"


class Answer:
    """Status, headers and the bytes, which lie in a file where they are many. To be used in a with statement."""

    def __init__(self):
        self.status, self.reason, self.headers, self.length = 500, b"", [], 0
        self._file = tempfile.SpooledTemporaryFile(limits.IN_MEMORY)  # noqa: SIM115 __exit__ closes it
        self.read = self._file.read

    def start(self, status: str, headers: list[tuple[str, str]], _error=None):
        code, _, reason = status.partition(" ")
        self.status, self.reason, self.headers = int(code), reason.encode("latin-1"), headers
        return self.add

    def add(self, chunk: bytes) -> None:
        self.length += len(chunk)
        self._file.write(chunk)

    def is_whole(self) -> None:
        self._file.seek(0)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._file.close()


class Calls:
    def __init__(self, application, scheme: str):
        self._application, self._scheme = application, scheme
        self._threads = ThreadPoolExecutor(limits.THREADS, "answers")
        self._picture_threads = ThreadPoolExecutor(limits.PICTURE_THREADS, "pictures")

    async def in_thread(self, work, *arguments):
        return await asyncio.get_running_loop().run_in_executor(self._threads, work, *arguments)

    async def answer(self, environ: dict) -> Answer:
        is_picture = environ["REQUEST_METHOD"] == "PUT" and environ["PATH_INFO"].startswith(_PICTURES)
        threads = self._picture_threads if is_picture else self._threads
        return await asyncio.get_running_loop().run_in_executor(threads, self._call, environ)

    def _call(self, environ: dict) -> Answer:
        answer = Answer()
        try:
            chunks = self._application(environ, answer.start)
            try:
                for chunk in chunks:
                    answer.add(chunk)
            finally:
                if hasattr(chunks, "close"):
                    chunks.close()
        except Exception as error:  # the application answers its own faults; this one is of what stands around it
            print(f"An answer failed: {type(error).__module__}.{type(error).__qualname__}", file=sys.stderr, flush=True)
            with answer:
                answer = Answer()
        answer.is_whole()
        return answer

    def environ(self, request: h11.Request, ends: dict) -> dict:
        """Return the request as WSGI (PEP 3333) has it, without its body."""
        target = request.target
        if not target.startswith(b"/"):  # the whole address, as a proxy is asked
            parts = urlsplit(target.decode("latin-1"))
            target = (parts.path + (f"?{parts.query}" if parts.query else "")).encode("latin-1")
        path, _, query = target.partition(b"?")
        here, there = ends["here"] or ("", 0), ends["there"] or ("", 0)
        environ = {
            "REQUEST_METHOD": request.method.decode("ascii"),
            "SCRIPT_NAME": "",
            "PATH_INFO": unquote_to_bytes(path).decode("latin-1"),
            "QUERY_STRING": query.decode("latin-1"),
            "REQUEST_URI": target.decode("latin-1"),
            "SERVER_NAME": here[0],
            "SERVER_PORT": str(here[1]),
            "SERVER_PROTOCOL": f"HTTP/{request.http_version.decode('ascii')}",
            "REMOTE_ADDR": there[0],
            "REMOTE_PORT": str(there[1]),
            "wsgi.version": (1, 0),
            "wsgi.url_scheme": self._scheme,
            "wsgi.errors": sys.stderr,
            "wsgi.multithread": True,
            "wsgi.multiprocess": False,
            "wsgi.run_once": False,
            "wsgi.input_terminated": True,
        }
        for raw_name, raw_text in request.headers:
            _add_header(environ, raw_name.decode("ascii"), raw_text.decode("latin-1"))
        return environ


def _add_header(environ: dict, name: str, text: str) -> None:
    """Not one with an underscore in its name: it would pass for another that only a proxy may set."""
    if "_" in name or name == "transfer-encoding":
        return
    key = name.upper().replace("-", "_")
    key = key if key in ("CONTENT_LENGTH", "CONTENT_TYPE") else f"HTTP_{key}"
    environ[key] = f"{environ[key]}{'; ' if name == 'cookie' else ','}{text}" if key in environ else text
