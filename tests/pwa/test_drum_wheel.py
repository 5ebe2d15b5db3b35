"""A wheel with drums, its hub held by an axle nut, walked on its sheet: what it costs a thumb."""

import pytest
from PIL import Image
from seeded_phone import bolts
from sheet_walk import SheetWalk

pytestmark = pytest.mark.full

MOST_TAPS = 36  # bolts apart
_BOLTS = bolts()
_BOLTS[2]["value"]["length_mm"] = 45
_BOLTS[2]["value"]["bolts"]["metal"] = _BOLTS[2]["value"]["typed"]["metal"] = "steel"
DRUMS = [
    ["vehicle.rear-brake", "field-set", {"value": "drum"}],
    ["vehicle.axle-nut", "field-set", {"value": "yes"}],
    _BOLTS,
]


@pytest.fixture
def photo(tmp_path):
    path = tmp_path / "line.jpg"
    Image.new("RGB", (1200, 1600), "grey").save(path)
    return path


def test_a_wheel_with_drums_is_closed_within_thirty_six_taps(sheets, photo):
    p = sheets("fit.left.wheel-off", "wheel.left", facts=DRUMS)
    walk = SheetWalk(p.driver, photo, p.job)
    walk.has_drums = walk.has_axle_nut = True
    walk.work("wheel.left")
    p.driver.next()
    p.page.wait_for_url("**/sheet/wheel.right")
    assert p.driver.taps - walk.bolt_taps["left"] <= MOST_TAPS, p.driver.taps - walk.bolt_taps["left"]
    assert walk.bolt_taps["left"] == 15
