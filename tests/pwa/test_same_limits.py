"""Numbers that stand on the phone and at the shop: changed on one side alone, each of these fails."""

import json
import re
from pathlib import Path

import pytest

from calc.choose import choose_input
from calc.fit import fit_input
from calc.fit.threads import PROOF_STRESS_MPA
from calc.numbers import constants, units
from calc.numbers.quantities import PARTS, WAYS
from calc.numbers.sides import RINGS, SIDES
from calc.prove import prove_input
from calc.rings import bolt_pattern
from server import limits, sync

PWA = Path(__file__).resolve().parents[2] / "pwa"
JS = PWA / "js"
SAME = [
    ("store/prune.js", r"const KEPT_MS = (.+);", limits.KEPT_ON_PHONES_MS),
    ("store/sync-store.js", r"const BATCH = (.+);", limits.MOST_ENTRIES),
    ("store/photos.js", r"const LARGEST_PHOTO_BYTES = (.+);", limits.LARGEST_PHOTO),
    ("ui/screens/phone-status.js", r"const CLOCK_NOTICED_MS = (.+);", limits.CLOCK_NOTICED_MS),
    ("domain/job/readings.js", r"DEFAULT_SD_MDEG = .*\bcamber: (\d+)", constants.CAMBER_SD_MDEG),
    ("domain/job/readings.js", r"DEFAULT_SD_MDEG = .*\btoe: (\d+)", constants.TOE_SD_MDEG),
    ("domain/choose/choose-input.js", r"DEFAULT_READING_SD = .*\bcamber_sd: (\d+)", constants.CAMBER_SD_MDEG),
    ("domain/choose/choose-input.js", r"DEFAULT_READING_SD = .*\btoe_sd: (\d+)", constants.TOE_SD_MDEG),
    ("domain/choose/choose-input.js", r"DEFAULT_BAND = .*\bcamber: (\d+)", constants.BAND_CAMBER_MDEG),
    ("domain/choose/choose-input.js", r"DEFAULT_BAND = .*\btoe: (\d+)", constants.BAND_TOE_MDEG),
    ("domain/choose/choose-input.js", r"const RING_SETS_HIGH = (.+);", choose_input.RING_SETS_HIGH),
    ("domain/choose/choose-input.js", r"const BAND_MDEG_HIGH = (.+);", choose_input.BAND_MDEG_HIGH),
    ("domain/choose/choose-input.js", r"const SD_MDEG_HIGH = (.+);", choose_input.SD_MDEG_HIGH),
    ("domain/prove/prove-input.js", r"const MOST_RING_SETS = (.+);", prove_input.MOST_RING_SETS),
    ("domain/numbers/units.js", r"const READING_LIMIT_MDEG = (.+);", constants.READING_LIMIT_MDEG),
    ("domain/numbers/units.js", r"const DIAMETER_MM_LOW = (.+);", units.DIAMETER_MM_LOW),
    ("domain/numbers/units.js", r"const DIAMETER_MM_HIGH = (.+);", units.DIAMETER_MM_HIGH),
    ("domain/rings/bolt-pattern.js", r"const MOST_BOLTS = (.+);", bolt_pattern.MOST_BOLTS),
    ("domain/job/bracket-lugs.js", r"const MOST_LUGS = (.+);", fit_input.MOST_LUGS),
    ("domain/job/bracket-lugs.js", r"const MOST_STOCK = (.+);", fit_input.MOST_STOCK),
]


def number_in(module: str, pattern: str) -> int:
    """Return the number, or the product of numbers, that the pattern's group finds once in a module of the phone."""
    (written,) = re.findall(pattern, (JS / module).read_text("utf-8"))
    product = 1
    for factor in written.split("*"):
        product *= int(factor)
    return product


@pytest.mark.parametrize(("module", "pattern", "expected"), SAME, ids=[f"{row[0]} {row[1]}" for row in SAME])
def test_the_phone_and_the_shop_hold_to_the_same_number(module, pattern, expected):
    assert number_in(module, pattern) == expected


def words_in(module: str, name: str) -> list[str]:
    """Return the quoted words of a constant of the phone, in their order."""
    (written,) = re.findall(
        rf"export const {name} = (?:Object\.freeze\()?([\[{{].*?[\]}}])\)?;", (JS / module).read_text("utf-8"), re.S
    )
    return re.findall(r'"([^"]+)"', written)


def test_the_signs_the_sides_and_their_order_are_the_same():
    """The most dangerous twins: a way that goes up on the phone and down at the shop turns every angle over."""
    assert words_in("domain/numbers/quantities.js", "WAYS") == [
        word for way, both in WAYS.items() for word in (way, *both)
    ]
    assert words_in("domain/numbers/quantities.js", "PARTS") == list(PARTS)
    assert words_in("domain/numbers/sides.js", "SIDES") == list(SIDES)
    assert words_in("domain/numbers/sides.js", "RINGS") == list(RINGS)


def test_the_proof_stresses_are_the_same():
    (written,) = re.findall(r"PROOF_STRESS_MPA = \{(.*)\}", (JS / "domain/fit/threads.js").read_text("utf-8"))
    assert {name: float(stress) for name, stress in re.findall(r'"([\d.]+)": (\d+)', written)} == PROOF_STRESS_MPA


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_refusal_of_the_server_has_words_on_the_phone(language):
    texts = json.loads((PWA / "text" / language / "ui.json").read_text("utf-8"))
    parked = {"unknown-kind", "unknown-format"}  # these are kept, not refused
    (photos,) = re.findall(r"const HOPELESS = new Set\(\[(.*?)\]\)", (JS / "sync/photos.js").read_text("utf-8"))
    codes = (set(sync.REASONS) - parked) | set(re.findall(r'"([^"]+)"', photos))
    assert {f"ui.refused.why.{code}" for code in codes} <= set(texts)


def test_what_the_phone_sends_at_once_is_never_too_large():
    """A character of UTF-16 has at most three bytes in UTF-8."""
    assert 3 * number_in("store/sync-store.js", r"const BATCH_CHARACTERS = (.+);") < limits.LARGEST_ENTRIES_BODY
