"""Starts a shared cache between a test and its server, or brings Debian's package; run as a program by tests/run.

It is squid as an accelerator, made as careless as its settings allow: what does not forbid it is kept for an hour and
given to everybody. It keeps in memory, listens on loopback only, and ends with its block.
"""

import shutil
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.debian import bring
from tests.live_server import free_port

_LIMIT_S = 60
_CONFIG = """
http_port 127.0.0.1:{port} accel vhost
cache_peer 127.0.0.1 parent {origin} 0 no-query no-digest originserver
http_access allow all
refresh_pattern . 60 100% 60
cache_mem 64 MB
maximum_object_size_in_memory 8 MB
access_log none
cache_log {folder}/cache.log
coredump_dir {folder}
pid_filename none
visible_hostname tapermark-test
shutdown_lifetime 0 seconds
"""


def program() -> str | None:
    return shutil.which("squid") or shutil.which("squid", path="/usr/sbin")


def bring_cache() -> bool:
    """Install Debian's package where this process may. Returns whether there is a cache now."""
    if program() is None:
        bring("squid")
    return program() is not None


class SharedCache:
    """In a with statement, before the server on loopback's port `origin`; `port` is the cache's own."""

    def __init__(self, origin: int):
        self._origin, self.port = origin, free_port()
        self._process: subprocess.Popen | None = None

    def __enter__(self):
        self._folder = Path(tempfile.mkdtemp(prefix="tapermark-cache-"))
        self._folder.chmod(0o777)  # started by root it becomes another user, who writes its log there
        config = self._folder / "squid.conf"
        config.write_text(_CONFIG.format(port=self.port, origin=self._origin, folder=self._folder))
        self._process = subprocess.Popen(
            [program(), "-N", "-f", config], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        end = time.monotonic() + _LIMIT_S
        while not self._listens():
            if self._process.poll() is not None or time.monotonic() > end:
                log = self._folder / "cache.log"
                said = log.read_text() if log.exists() else "nothing"
                self.__exit__()
                raise RuntimeError(f"expected the cache to listen within {_LIMIT_S} s; it said: {said}")
            time.sleep(0.05)
        return self

    def __exit__(self, *_):
        self._process.terminate()
        self._process.wait(_LIMIT_S)
        shutil.rmtree(self._folder)

    def _listens(self) -> bool:
        with socket.socket() as probe:
            return probe.connect_ex(("127.0.0.1", self.port)) == 0


if __name__ == "__main__" and not bring_cache():
    print("tests: no squid and none could be installed; the test of a shared cache is skipped.", file=sys.stderr)
