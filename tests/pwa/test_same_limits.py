"""Numbers that stand on the phone and at the shop: changed on one side alone, each of these fails."""

import re
from pathlib import Path

import pytest

from calc import constants
from server import limits

JS = Path(__file__).resolve().parents[2] / "pwa" / "js"
SAME = [
    ("store/prune.js", r"const KEPT_MS = (.+);", limits.KEPT_ON_PHONES_MS),
    ("store/sync-store.js", r"const BATCH = (.+);", limits.MOST_ENTRIES),
    ("store/photos.js", r"const LARGEST_PHOTO_BYTES = (.+);", limits.LARGEST_PHOTO),
    ("ui/phone-status.js", r"const CLOCK_NOTICED_MS = (.+);", limits.CLOCK_NOTICED_MS),
    ("domain/readings.js", r"DEFAULT_SD_MDEG = .*\bcamber: (\d+)", constants.CAMBER_SD_MDEG),
    ("domain/readings.js", r"DEFAULT_SD_MDEG = .*\btoe: (\d+)", constants.TOE_SD_MDEG),
    ("domain/choose-input.js", r"DEFAULT_READING_SD = .*\bcamber_sd: (\d+)", constants.CAMBER_SD_MDEG),
    ("domain/choose-input.js", r"DEFAULT_READING_SD = .*\btoe_sd: (\d+)", constants.TOE_SD_MDEG),
    ("domain/choose-input.js", r"DEFAULT_BAND = .*\bcamber: (\d+)", constants.BAND_CAMBER_MDEG),
    ("domain/choose-input.js", r"DEFAULT_BAND = .*\btoe: (\d+)", constants.BAND_TOE_MDEG),
]


def number_in(module: str, pattern: str) -> int:
    """Return the number, or the product of numbers, that the pattern's group finds once in a module of the phone."""
    (written,) = re.findall(pattern, (JS / module).read_text("utf-8"))
    product = 1
    for factor in written.split("*"):
        product *= int(factor)
    return product


@pytest.mark.parametrize(("module", "pattern", "expected"), SAME, ids=[row[1] for row in SAME])
def test_the_phone_and_the_shop_hold_to_the_same_number(module, pattern, expected):
    assert number_in(module, pattern) == expected


def test_what_the_phone_sends_at_once_is_never_too_large():
    """A character of UTF-16 has at most three bytes in UTF-8."""
    assert 3 * number_in("store/sync-store.js", r"const BATCH_CHARACTERS = (.+);") < limits.LARGEST_ENTRIES_BODY
