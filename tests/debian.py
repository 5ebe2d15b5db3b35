"""Brings Debian's packages that the tests drive, where this process may install any."""

import os
import shutil
import subprocess

_LIMIT_S = 900  # of one command: a slow line is slow, not wrong


def bring(*packages: str) -> None:
    """Install them, or leave it: whoever asks looks afterwards whether they are there."""
    if not shutil.which("apt-get") or os.geteuid() != 0:
        return
    # Debian starts no service at this runlevel: one of its own would listen to everybody.
    quiet = os.environ | {"RUNLEVEL": "1"}
    for command in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        try:
            subprocess.run(["apt-get", "-q", *command], check=False, env=quiet, timeout=_LIMIT_S)
        except subprocess.TimeoutExpired as error:
            print(f"tests: {error}; the packages are missing: {' '.join(packages)}", flush=True)
