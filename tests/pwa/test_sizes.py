"""What the phone has to fetch stays small: the shell that opens the first screen, and each table of ring pairs.

Sizes are those that the server sends to a browser that takes brotli.
"""

import json
import re
from pathlib import Path

import pytest
from start_modules import PWA, first_files, first_texts, made_modules, start_modules

from calc.rings.rings import RingSet
from calc.rings.table import table_bytes
from server.web.compressed import compressed

SHELL_LIMIT = 100_000
TABLE_LIMIT = 9_000
LANGUAGES = ("en", "es")


def brotli_size(files: list[Path]) -> int:
    return sum(len(compressed(file.read_bytes(), "br")) for file in files)


def test_the_first_screen_names_no_text_that_comes_later():
    """Their namespaces tell: error.* and option.* alone are spread over the files, each of which keeps its own, and the
    titles of row.* stand apart.
    """
    later = {name for path in (PWA / "text" / "en").glob("*.json") if path.stem not in first_texts()
             for name in json.loads(path.read_text("utf-8"))}  # fmt: skip
    spaces = {key.split(".")[0] for key in later} - {"error", "option", "row"}
    named = re.compile(rf"""["`]((?:{"|".join(sorted(spaces))})\.[^"`]*)["`]""")
    assert not [named.search(file.read_text("utf-8"))[1] for file in start_modules() if named.search(file.read_text())]


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_shell_that_opens_is_small(language):
    """Page, styles, modules and data of the first screen with its words in one language; what it fetches to open."""
    assert brotli_size(first_files(language)) < SHELL_LIMIT


def test_every_module_of_the_first_screen_and_of_a_sheet_is_asked_for_at_once():
    for module, text in made_modules().items():
        assert module.read_text("utf-8") == text, "run: python tests/pwa/start_modules.py"
    assert "domain/job/sheets.js" in (PWA / "js" / "sheet-modules.js").read_text("utf-8")


def ring(taper_mdeg: int, thick_mark: float, direction: str = "clockwise") -> dict:
    return {
        "marks": 72, "first_mark": 1, "direction": direction, "marked_face_right": "inboard",
        "taper_mdeg": taper_mdeg, "taper_sd_mdeg": 8, "thick_mark": thick_mark, "centre_thickness_mm": 2.4,
        "outer_diameter_mm": 148.0, "bore_diameter_mm": 62.0,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("inner", "outer"),
    [
        (ring(250, 1.0), ring(250, 1.0)),
        (ring(550, 1.3), ring(470, 2.7, "counterclockwise")),
        (ring(1000, 3.9), ring(915, 1.25)),
    ],
    ids=["alike", "usual", "steep"],
)
def test_a_table_of_72_marks_is_small(inner, outer):
    ring_set = {"format": 1, "id": "x", "name": "X", "revision": 1, "max_tilt_mdeg": None}
    table = table_bytes(RingSet.from_json({**ring_set, "inner": inner, "outer": outer}))
    assert len(compressed(table, "br")) < TABLE_LIMIT
