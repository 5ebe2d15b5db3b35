"""A server process for browser tests: started on a store folder, stopped, started again on the same port.

It only waits with a time limit and never leaves a process behind.
"""

import os
import socket
import ssl
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
START_LIMIT_S = 300  # a busy machine is slow, not wrong
_STOP_LIMIT_S = 10


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class LiveServer:
    """`python -m server serve` on `store_folder`, in a with statement; `start` and `stop` may follow each other.

    `environ` adds to the process's environment, such as DATABASE_URL. With `https` it serves by its own certificate,
    whose authority is in the folder. `files`: how many files it may have open, where the system can be told. `more`:
    further arguments of `serve`.
    """

    def __init__(
        self,
        store_folder: Path | str,
        port: int | None = None,
        environ: dict | None = None,
        https: bool = False,
        files: int | None = None,
        more: tuple[str, ...] = (),
    ):
        self.store_folder = Path(store_folder)
        self._environ, self._https, self._files = environ or {}, https, files
        self._arguments = ["--port", str(port := port or free_port()), *(["--https"] if https else []), *more]
        self.port = port
        self._process: subprocess.Popen | None = None
        self._log = None

    @property
    def url(self) -> str:
        """The address without a slash at its end."""
        return f"{'https' if self._https else 'http'}://127.0.0.1:{self.port}"

    @property
    def pid(self) -> int:
        return self._process.pid

    def __enter__(self):
        self.start()
        return self

    def __exit__(self, *_):
        self.stop()

    def start(self) -> None:
        """Start the process and return once it answers. Raises RuntimeError with what it printed."""
        assert self._process is None, "the server runs already"
        self._log = tempfile.TemporaryFile()  # noqa: SIM115 stop closes it
        self._process = subprocess.Popen(
            [sys.executable, "-m", "server", "serve", *self._arguments],
            cwd=ROOT,
            env=os.environ | {"TAPERMARK_STORE": str(self.store_folder)} | self._environ,
            stdout=self._log,
            stderr=subprocess.STDOUT,
            preexec_fn=self._bound_files if self._files else None,
        )
        deadline = time.monotonic() + START_LIMIT_S
        while not self._answers():
            if self._process.poll() is not None or time.monotonic() > deadline:
                printed = self.output()
                self.stop()
                raise RuntimeError(f"the server did not start:\n{printed}")
            time.sleep(0.05)

    def stop(self) -> None:
        """End the process and wait until it is gone. Nothing happens where none runs."""
        if self._process is None:
            return
        self._process.terminate()
        try:
            self._process.wait(_STOP_LIMIT_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(_STOP_LIMIT_S)
        self._process = None
        self._log.close()

    def kill(self) -> None:
        """End the process at once, as a power cut would."""
        self._process.kill()
        self._process.wait(_STOP_LIMIT_S)
        self._process = None
        self._log.close()

    def output(self) -> str:
        """Return what the running process has printed so far."""
        self._log.seek(0)
        return self._log.read().decode("utf-8", "replace")

    def _answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/sw.js", timeout=2, context=self._trust()) as answer:
                return answer.status == 200
        except (urllib.error.URLError, OSError):
            return False

    def _bound_files(self) -> None:
        import resource

        resource.setrlimit(resource.RLIMIT_NOFILE, (self._files, self._files))

    def _trust(self) -> ssl.SSLContext | None:
        """Trust the store's own authority and no other."""
        if not self._https:
            return None
        return ssl.create_default_context(cafile=self.store_folder / "certificate" / "authority.crt")
