"""Many random histories of phones and server (tests/faults/histories.py), and how long they take.

Run as `python -m tests.bench.bench_histories [count]`; 2,000 if nothing is said. One that breaks the rule is shown
as a program that repeats it.
"""

import os
import sys
import time

import pytest

COUNT = 2000


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    os.environ["TAPERMARK_HISTORIES"] = str(count)
    start = time.monotonic()
    outcome = pytest.main(["tests/faults/test_histories.py", "-q", "-s"])
    seconds = time.monotonic() - start
    print(f"{count} histories in {seconds:.0f} s, {seconds / count:.2f} s each")
    return int(outcome)


if __name__ == "__main__":
    sys.exit(main())
