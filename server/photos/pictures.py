"""Has the kept picture made from the bytes that a phone sent: upright, sRGB, JPEG, no metadata at all.

Re-encoding is also the check: what is kept was decoded to its last pixel, so nothing hidden behind a picture survives.
Decoders of foreign bytes may take hours, take all memory or fall over, so they work in a process of their own
(decode_picture.py), which is ended when it takes more than a picture may.
"""

import atexit
import json
import subprocess
import sys
import threading
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from server.limits import MOST_PIXELS
from server.web.errors import Problem

MIME = "image/jpeg"
COMPUTING_S = 20  # of one picture; one of 50 million pixels takes 3 on this machine
CLOCK_S = 120  # a busy machine is slow; and for systems that cannot bound what a process computes
MEMORY = 2_000_000_000  # bytes; a picture of 50 million pixels takes some 400 MB while it is worked on
_AT_ONCE = 2
_KEPT_FOR = 20_000_000  # pixels: after a larger picture the process goes, and its memory with it
_PROGRAM = Path(__file__).with_name("decode_picture.py")

_turns = threading.BoundedSemaphore(_AT_ONCE)
_idle: list[subprocess.Popen] = []  # append and pop are of one piece


@dataclass(frozen=True)
class Picture:
    content: bytes
    width: int
    height: int


def re_encode(content: bytes) -> Picture:
    """Return the picture to keep. Raises Problem `photo-format`, `photo-too-many-pixels`."""
    with _turns:
        process = _at_hand()
        try:
            said, kept = _asked(process, content)
        except (OSError, ValueError):  # it fell over, or was ended
            _end(process)
            raise Problem("photo-format", why="reading it takes longer than a picture may, or more memory") from None
        if said.get("width", 0) * said.get("height", 0) > _KEPT_FOR:
            _end(process)
        else:
            _idle.append(process)
    if "code" in said:
        raise Problem(said["code"], **said["details"])
    return Picture(kept, said["width"], said["height"])


def _at_hand() -> subprocess.Popen:
    """Return a process that waits for a picture; one that somebody has ended meanwhile is none."""
    while _idle:
        process = _idle.pop()
        if process.poll() is None:
            return process
        _end(process)
    return _start()


def _start() -> subprocess.Popen:
    """Isolated: of the server's own folder and the environment's Python settings it imports nothing."""
    return subprocess.Popen(
        [sys.executable, "-I", str(_PROGRAM), str(MOST_PIXELS), str(COMPUTING_S), str(MEMORY)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def _asked(process: subprocess.Popen, content: bytes) -> tuple[dict, bytes]:
    """OSError or ValueError where it does not answer."""
    clock = threading.Timer(CLOCK_S, process.kill)
    clock.start()
    try:
        process.stdin.write(len(content).to_bytes(8, "big") + content)
        process.stdin.flush()
        said = json.loads(process.stdout.readline())
        kept = process.stdout.read(said.get("length", 0))
        if len(kept) < said.get("length", 0):
            raise ValueError("the answer was cut off")
        return said, kept
    finally:
        clock.cancel()


def _end(process: subprocess.Popen) -> None:
    process.kill()
    for pipe in (process.stdin, process.stdout):
        with suppress(OSError):  # what was not taken any more
            pipe.close()
    process.wait()


@atexit.register
def _end_all() -> None:
    while _idle:
        _end(_idle.pop())
