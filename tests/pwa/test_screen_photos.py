"""Photos on the phone's screens: kept small and by their hash, refused in words where they are none.

One phone for the module; every test has a job of its own, seeded through the product's own store.
"""

import hashlib
import io

import pytest
from PIL import Image
from playwright.sync_api import expect
from screen_checks import PHONE
from screen_checks import open_step as at

_ENTRIES = f"async (job) => {PHONE}.entries(job)"


def _jpeg(width: int, height: int) -> bytes:
    picture = Image.new("RGB", (width, height), (180, 60, 30))
    picture.paste((20, 90, 200), (0, 0, width // 2, height // 2))
    data = io.BytesIO()
    picture.save(data, "JPEG", quality=90)
    return data.getvalue()


def test_a_photo_is_kept_small_the_right_way_up_and_by_its_hash(app):
    job = at(app, "vehicle.adjusters", "vehicle.found-photo")
    app.photo({"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": _jpeg(4000, 3000)})
    [entry] = [entry for entry in app.page.evaluate(_ENTRIES, job) if entry["kind"] == "photo-attached"]
    assert (entry["body"]["width"], entry["body"]["height"]) == (1600, 1200)
    read = f"async (name) => [...new Uint8Array((await {PHONE}.photo(name)).bytes)]"
    kept = bytes(app.page.evaluate(read, entry["body"]["sha256"]))
    assert hashlib.sha256(kept).hexdigest() == entry["body"]["sha256"]
    picture = Image.open(io.BytesIO(kept)).convert("RGB")
    assert picture.getpixel((100, 100))[2] > 150
    assert picture.getpixel((1500, 1100))[0] > 150


def test_an_empty_photo_is_refused(app):
    job = at(app, "vehicle.adjusters", "vehicle.found-photo")
    with app.page.expect_file_chooser() as chooser:
        app.tap("gallery")
    chooser.value.set_files({"name": "empty.jpg", "mimeType": "image/jpeg", "buffer": b""})
    expect(app.key("photo-refused")).to_contain_text("empty")
    assert not any(entry["kind"] == "photo-attached" for entry in app.page.evaluate(_ENTRIES, job))


@pytest.mark.parametrize(
    "content", [b"not a picture at all", b"\x00\x00\x00\x18ftypisom\x00\x00\x00\x00"], ids=["text", "film"]
)
def test_what_is_no_photo_is_refused_whatever_its_name(app, content):
    job = at(app, "fit.left.witness-line")
    app.same_side()
    with app.page.expect_file_chooser() as chooser:
        app.tap("gallery")
    chooser.value.set_files({"name": "note.jpg", "mimeType": "image/jpeg", "buffer": content})
    expect(app.key("photo-refused")).to_contain_text("not a photo (JPEG, PNG or HEIC)")
    assert not any(entry["kind"] == "photo-attached" for entry in app.page.evaluate(_ENTRIES, job))


def test_a_page_killed_by_the_camera_says_that_the_photo_did_not_arrive(app):
    at(app, "vehicle.adjusters", "vehicle.found-photo")
    with app.page.expect_file_chooser():
        app.tap("camera")
    app.page.reload()
    app.settle()
    assert app.slot == "vehicle.found-photo"
    expect(app.key("photo-lost")).to_be_visible()
