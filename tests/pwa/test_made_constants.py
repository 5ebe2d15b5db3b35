"""What the phone and the shop both hold is typed once, in Python; the phone's modules of it are made, never typed."""

import json
import re
from pathlib import Path

import pytest

from fixtures import make_constants
from fixtures.golden.write_or_check import write_or_check
from server import limits
from server.records import entry_rules
from server.web import errors

PWA = Path(__file__).resolve().parents[2] / "pwa"
JS = PWA / "js"
EXPORTS = [
    (file, name, getattr(module, name))
    for file, (_, parts) in make_constants.MADE.items()
    for module, names in parts
    for name in names.split()
]


@pytest.mark.parametrize("file", make_constants.MADE)
def test_the_made_modules_are_what_their_generator_makes(file):
    assert write_or_check(JS / file, make_constants.made_text(file), ["--check"]) == 0


@pytest.mark.parametrize("file", make_constants.MADE)
def test_a_made_module_holds_the_very_same_values(page, origin, file):
    """As the phone reads them, to the last bit of every double; above all the signs and the order of the sides."""
    page.goto(f"{origin}/tests/run.html")
    held = page.evaluate("async (url) => ({ ...(await import(url)) })", f"/js/{file}")
    assert held == {name: _as_json(value) for module, name, value in EXPORTS if module == file}


def _as_json(value):
    if isinstance(value, dict):
        return {f"{key:g}" if isinstance(key, float) else key: _as_json(item) for key, item in value.items()}
    return [_as_json(item) for item in value] if isinstance(value, tuple) else value


def test_no_other_module_below_the_screens_types_such_a_constant_itself():
    typed = re.compile(rf"\bconst (?:{'|'.join(name for _, name, _ in EXPORTS)}) =")
    modules = [path for folder in ("domain", "store", "sync") for path in (JS / folder).rglob("*.js")]
    found = {path.relative_to(JS).as_posix() for path in modules if typed.search(path.read_text("utf-8"))}
    assert found <= make_constants.MADE.keys()


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_refusal_of_the_server_has_words_on_the_phone(language):
    texts = json.loads((PWA / "text" / language / "shop.json").read_text("utf-8"))
    parked = {"unknown-kind", "unknown-format", "unknown-table"}  # these are kept, not refused
    codes = (set(entry_rules.REASONS) - parked) | set(errors.PHOTO_REFUSED)
    assert set(errors.PHOTO_REFUSED) <= set(errors.CATALOGUE)
    assert {f"refused.why.{code}" for code in codes} <= set(texts)


def test_what_the_phone_sends_at_once_is_never_too_large():
    """A character of UTF-16 has at most three bytes in UTF-8; one entry goes however large it is."""
    assert 3 * limits.MOST_CHARACTERS_SENT + limits.LARGEST_ENTRY < limits.LARGEST_ENTRIES_BODY
