"""How much of the processor a process and all its children have had (Linux)."""

import os
from pathlib import Path

_TICKS = os.sysconf("SC_CLK_TCK")


def processor_s(pid: int) -> float:
    """Return the seconds so far, with those of children that have ended."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return sum(map(int, fields[11:15])) / _TICKS + sum(_of_child(int(child)) for child in children)


def _of_child(pid: int) -> float:
    try:
        return processor_s(pid)
    except (FileNotFoundError, ProcessLookupError):  # it has ended meanwhile
        return 0.0
