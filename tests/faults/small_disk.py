"""A disk of its own that can run full: a tmpfs, filled by a file from outside. Mounting one takes root."""

import contextlib
import errno
import os
import shutil
import subprocess
import threading
import time
from pathlib import Path

from tests.at_once import Work, begun, ended

MEGABYTES = 120  # room for a browser's profile and little more
_PIECE = 1_000_000
_REST_S = 0.02
_LIMIT_S = 60


def can_mount() -> bool:
    return os.geteuid() == 0 and shutil.which("mount") is not None


class SmallDisk:
    """In a with statement; `folder` is the disk."""

    def __init__(self, folder: Path):
        self.folder = folder
        self._filler = folder / "filler"
        self._filling: Work | None = None
        self._stop = threading.Event()

    def __enter__(self):
        self.folder.mkdir(parents=True, exist_ok=True)
        self._run("mount", "-t", "tmpfs", "-o", f"size={MEGABYTES}m", "tapermark-test")
        return self

    def __exit__(self, *_):
        self.make_room()
        for _ in range(50):  # a browser that is ending may still hold a file
            with contextlib.suppress(subprocess.CalledProcessError):
                self._run("umount")
                return
            time.sleep(0.2)
        self._run("umount", "--lazy")

    def remount(self, how: str) -> None:
        """`how`: ro, which lets nobody write, or rw."""
        self._run("mount", "-o", f"remount,{how}")

    def _run(self, *command: str) -> None:
        subprocess.run([*command, self.folder], check=True, capture_output=True, timeout=_LIMIT_S)

    @property
    def free(self) -> int:
        """Bytes that are left."""
        return shutil.disk_usage(self.folder).free

    def fill(self) -> None:
        """Take all the room that there is now; what is given back later stays free."""
        with self._filler.open("ab", buffering=0) as file:
            for piece in (_PIECE, 4096):
                with contextlib.suppress(OSError):
                    while True:
                        file.write(b"\0" * piece)

    def _take(self, count: int) -> None:
        with self._filler.open("ab", buffering=0) as file, contextlib.suppress(OSError):
            for start in range(0, count, _PIECE):
                file.write(b"\0" * min(_PIECE, count - start))

    def keep_filling(self, room: int = 0, a_second: int = 0) -> None:
        """Take all but `room` bytes, `a_second` of those each second, then what is given back, until `make_room`."""
        self._take(self.free - room)

        def fill_on():
            end = time.monotonic() + room / a_second if room else 0
            while time.monotonic() < end and not self._stop.wait(_REST_S):
                self._take(min(int(a_second * _REST_S), self.free))
            while not self._stop.wait(_REST_S):
                self.fill()

        self._filling = begun(fill_on)

    def make_room(self) -> None:
        if self._filling:
            self._stop.set()
            ended(self._filling)
            self._filling = None
            self._stop.clear()
        with contextlib.suppress(OSError) as _:
            self._filler.unlink(missing_ok=True)

    def is_full(self) -> bool:
        try:
            with (self.folder / "probe").open("wb", buffering=0) as file:
                file.write(b"\0" * 4096)
        except OSError as error:
            return error.errno == errno.ENOSPC
        (self.folder / "probe").unlink()
        return False
