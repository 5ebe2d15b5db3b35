"""What the phone makes of the pictures that cameras bring: small, the right way up, never black;
and what it cannot draw it keeps as it came. The pixels are looked at here, by another decoder.
"""

import base64
import io

import numpy as np
import piexif
import pillow_heif
import pytest
from PIL import Image

pytestmark = pytest.mark.full

pillow_heif.register_heif_opener()
LONG_SIDE = 1600
SHRINK = """async ([base64, mime]) => {
    const { shrinkPhoto } = await import("/js/ui/fields/photo-shrink.js");
    const bytes = Uint8Array.from(atob(base64), (character) => character.charCodeAt(0)).buffer;
    const { bytes: small, ...rest } = await shrinkPhoto(bytes, mime);
    let text = "";
    const view = new Uint8Array(small);
    for (let k = 0; k < view.length; k += 32768) text += String.fromCharCode(...view.subarray(k, k + 32768));
    return { ...rest, base64: btoa(text) };
}"""
# A browser whose decoder cannot resize, and one whose canvas silently stays black.
NO_RESIZE = "() => { globalThis.createImageBitmap = () => Promise.reject(new TypeError('no options')); }"
BLACK = "() => { CanvasRenderingContext2D.prototype.drawImage = () => {}; }"

# Where the stored upper left quarter is to be seen, for EXIF orientations 1 to 8 (Exif 2.32, tag 274).
RED_CORNER = {1: (0, 0), 2: (1, 0), 3: (1, 1), 4: (0, 1), 5: (0, 0), 6: (1, 0), 7: (1, 1), 8: (0, 1)}


@pytest.fixture
def shrink(page, origin):
    """Return a function of (file, type) that gives (what the phone says, what it keeps)."""
    page.goto(f"{origin}/tests/run.html")

    def run(content: bytes, mime: str, before: str | None = None) -> tuple[dict, bytes]:
        if before:
            page.evaluate(before)
        said = page.evaluate(SHRINK, [base64.b64encode(content).decode(), mime])
        return said, base64.b64decode(said.pop("base64"))

    return run


def quartered(width: int, height: int) -> Image.Image:
    """Red in the upper left quarter, blue elsewhere."""
    pixels = np.zeros((height, width, 3), dtype=np.uint8)
    pixels[..., 2] = 255
    pixels[: height // 2, : width // 2] = (255, 0, 0)
    return Image.fromarray(pixels)


def encoded(image: Image.Image, kind: str = "JPEG", **options) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def red_corner(content: bytes) -> tuple[int, int]:
    """(right, low) of the only corner that is red, as stored: whatever turned it must have turned the pixels."""
    image = Image.open(io.BytesIO(content)).convert("RGB")
    assert not image.getexif(), "a second turn may not be left to the viewer"
    inset = min(image.size) // 4
    places = {(x, y): (x * (image.width - 1 - 2 * inset) + inset, y * (image.height - 1 - 2 * inset) + inset)
              for x in (0, 1) for y in (0, 1)}  # fmt: skip
    (corner,) = [name for name, at in places.items() if image.getpixel(at)[0] > 150]
    return corner


@pytest.mark.parametrize("before", [None, NO_RESIZE], ids=["resized by the decoder", "by the canvas"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_is_upright_whatever_its_exif_says(shrink, orientation, before):
    exif = piexif.dump({"0th": {piexif.ImageIFD.Orientation: orientation}})
    said, kept = shrink(encoded(quartered(2400, 1200), exif=exif), "image/jpeg", before)
    assert not said["original"]
    size = (1600, 800) if orientation < 5 else (800, 1600)
    assert (said["width"], said["height"]) == Image.open(io.BytesIO(kept)).size == size
    assert red_corner(kept) == RED_CORNER[orientation]


@pytest.mark.parametrize("size", [(6000, 4000), (8000, 6000), (14000, 1800)], ids=["24 MP", "48 MP", "panorama"])
def test_a_large_picture_is_never_black(shrink, size):
    said, kept = shrink(encoded(quartered(*size), quality=60), "image/jpeg")
    assert not said["original"]
    assert max(said["width"], said["height"]) == LONG_SIDE
    assert said["width"] / said["height"] == pytest.approx(size[0] / size[1], rel=0.01)
    assert red_corner(kept) == (0, 0)


def test_a_small_picture_is_not_made_larger(shrink):
    said, kept = shrink(encoded(quartered(300, 200), "PNG"), "image/png")
    assert (said["width"], said["height"]) == (300, 200)
    assert red_corner(kept) == (0, 0)


def test_a_heic_that_the_browser_cannot_draw_is_kept_as_it_came(shrink):
    content = encoded(quartered(640, 480), "HEIF")
    said, kept = shrink(content, "")
    if said["original"]:
        assert (kept, said["mime"]) == (content, "image/heic")
    else:  # a browser that can
        assert red_corner(kept) == (0, 0)


@pytest.mark.parametrize("share", [0.02, 0.3, 0.9])
def test_a_file_that_is_cut_off_is_kept_as_it_came_or_as_far_as_it_goes(shrink, share):
    noise = np.random.default_rng(7).integers(0, 255, (600, 800, 3), dtype=np.uint8)
    content = encoded(Image.fromarray(noise))
    cut = content[: int(len(content) * share)]
    said, kept = shrink(cut, "image/jpeg")
    if said["original"]:
        assert (kept, said["mime"]) == (cut, "image/jpeg")
    else:
        assert np.asarray(Image.open(io.BytesIO(kept))).std() > 10, "something of it must be seen"


def test_what_is_no_picture_is_kept_as_it_came(shrink):
    said, kept = shrink(b"<html>not a picture</html>", "image/jpeg")
    assert said == {"original": True, "mime": "image/jpeg", "width": 0, "height": 0}
    assert kept == b"<html>not a picture</html>"


def test_a_canvas_that_silently_stays_black_is_not_believed(shrink):
    content = encoded(quartered(2400, 1200))
    said, kept = shrink(content, "image/jpeg", BLACK)
    assert (said["original"], said["width"], said["height"]) == (True, 2400, 1200)
    assert kept == content
