"""The words of the screens: the same keys and placeholders in every language, and a text for every key in use."""

import json
import re
from pathlib import Path

import pytest

from calc.numbers.quantities import SIGN_WORDS

PWA = Path(__file__).resolve().parents[2] / "pwa"
FILES = sorted(file.name for file in (PWA / "text" / "en").glob("*.json"))
PLURALS = ("one", "other")


def _texts(language: str, name: str) -> dict:
    return json.loads((PWA / "text" / language / name).read_text("utf-8"))


def _all_english() -> set[str]:
    return {key for name in FILES for key in _texts("en", name)}


@pytest.mark.parametrize("name", FILES)
def test_spanish_is_complete(name):
    english, spanish = _texts("en", name), _texts("es", name)
    assert english.keys() == spanish.keys()
    for key, text in english.items():
        assert set(re.findall(r"\{\w+\}", text)) == set(re.findall(r"\{\w+\}", spanish[key])), key
        assert spanish[key].strip(), key


def test_every_key_that_the_screens_name_has_a_text():
    keys = _all_english()
    source = "\n".join(file.read_text("utf-8") for file in (PWA / "js").rglob("*.js"))
    named = set(re.findall(r'\bt\(\s*"([a-z][\w.-]+)"', source))
    assert named
    missing = {key for key in named if key not in keys and f"{key}.other" not in keys}
    assert not missing


def test_every_way_of_every_angle_has_its_words():
    """Their keys are put together in the domain, where no search for whole keys finds them."""
    wanted = {f"angle.{quantity}.{way}" for quantity, ways in SIGN_WORDS.items() for way in ways}
    assert wanted | {"angle.zero"} <= _all_english()


def test_no_key_is_in_two_files():
    counted = [key for name in FILES for key in _texts("en", name)]
    assert len(counted) == len(set(counted)), {key for key in counted if counted.count(key) > 1}


def test_a_plural_has_every_form_that_english_needs():
    keys = _all_english()
    stems = {key.rsplit(".", 1)[0] for key in keys if key.endswith((".one",))}
    assert all(f"{stem}.{form}" in keys for stem in stems for form in PLURALS)
