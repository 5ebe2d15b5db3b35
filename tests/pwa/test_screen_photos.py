"""Photos on the sheets: kept small and by their hash, refused in words where they are none.

A page that the camera kills is in tests/faults/test_camera.py.
"""

import hashlib
import io

import pytest
from PIL import Image
from playwright.sync_api import expect
from screen_checks import PHONE

SLOT = "vehicle.found-photo"
_ENTRIES = f"async (job) => {PHONE}.entries(job)"


def _jpeg(width: int, height: int) -> bytes:
    picture = Image.new("RGB", (width, height), (180, 60, 30))
    picture.paste((20, 90, 200), (0, 0, width // 2, height // 2))
    data = io.BytesIO()
    picture.save(data, "JPEG", quality=90)
    return data.getvalue()


def _photos(p) -> list[dict]:
    return [entry for entry in p.page.evaluate(_ENTRIES, p.job) if entry["kind"] == "photo-attached"]


def _hand_in(p, slot: str, content: bytes) -> None:
    """Choose a file in the gallery; its name says JPEG."""
    with p.page.expect_file_chooser() as chooser:
        p.driver.tap_node(p.driver.row(slot).locator('[data-key="gallery"]'))
    chooser.value.set_files({"name": "note.jpg", "mimeType": "image/jpeg", "buffer": content})


def test_a_photo_is_kept_small_the_right_way_up_and_by_its_hash(sheets):
    p = sheets("vehicle.adjusters", f"condition/{SLOT}")
    _hand_in(p, SLOT, _jpeg(4000, 3000))
    expect(p.driver.row(SLOT).locator("img")).to_have_count(1, timeout=30_000)
    [entry] = _photos(p)
    assert (entry["body"]["width"], entry["body"]["height"]) == (1600, 1200)
    read = f"async (name) => [...new Uint8Array((await {PHONE}.photo(name)).bytes)]"
    kept = bytes(p.page.evaluate(read, entry["body"]["sha256"]))
    assert hashlib.sha256(kept).hexdigest() == entry["body"]["sha256"]
    picture = Image.open(io.BytesIO(kept)).convert("RGB")
    assert picture.getpixel((100, 100))[2] > 150
    assert picture.getpixel((1500, 1100))[0] > 150


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"not a picture at all", "not a photo (JPEG, PNG or HEIC)"),
        (b"\x00\x00\x00\x18ftypisom\x00\x00\x00\x00", "not a photo (JPEG, PNG or HEIC)"),
    ],
    ids=["empty", "text", "film"],
)
def test_what_is_no_photo_is_refused_whatever_its_name_and_meets_no_hold(sheets, content, said):
    slot = "fit.left.witness-line"
    p = sheets(slot, f"wheel.left/{slot}")
    _hand_in(p, slot, content)
    expect(p.driver.row(slot).locator('[data-key="photo-refused"]')).to_contain_text(said)
    assert (_photos(p), p.driver.state(slot)) == ([], "open")
