"""The table of attacks and faults names tests and benches that exist, and counts what they lost."""

import re
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent


def rows():
    table = (
        (Path(__file__).parent / "README.md").read_text("utf-8").split("|---|---:|---:|---|---|\n")[1].split("\n\n")[0]
    )
    return [[cell.strip() for cell in row.strip("|").split(" | ")] for row in table.splitlines()]


def test_every_row_names_what_exists_and_counts_tries_and_losses():
    files = {path.name: path for kind in ("*.py", "*.js") for path in TESTS.rglob(kind)}
    python = "".join(path.read_text("utf-8") for path in files.values() if path.suffix == ".py")
    assert len(rows()) >= 14
    for what, tries, losses, _, shown in rows():
        assert int(tries.replace(",", "")) > 0, what
        assert losses.isdigit(), what
        for name in re.findall(r"`([^`]+)`", shown):
            assert name in files or f"def {name}(" in python, name
