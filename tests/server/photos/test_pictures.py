"""What the server makes of a photo: JPEG, upright, sRGB, no metadata; and what it does not take for a picture."""

import io

import piexif
import pillow_heif
import pytest
from PIL import Image, ImageCms

from server.photos.pictures import re_encode
from server.web.errors import Problem
from tests.server.pictures_to_send import encoded, is_red


def keep(content):
    """Return the bytes that the server keeps of a photo."""
    return re_encode(content).content


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
def test_jpeg_png_and_heic_are_kept_as_jpeg(kind):
    kept = Image.open(io.BytesIO(keep(encoded(format=kind))))
    assert (kept.format, kept.size) == ("JPEG", (64, 48))
    assert is_red(kept.getpixel((8, 8)))


@pytest.mark.parametrize(
    "content",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<html><script>alert(1)</script></html>",
        encoded(format="GIF", quality=None),
        encoded(format="WEBP"),
        encoded(format="TIFF", quality=None),
        encoded()[: len(encoded()) // 2],
        encoded(format="PNG")[:80],
        encoded(format="HEIF")[:-40],
        b"\xff\xd8\xff\xe0" + b"\0" * 100,
    ],
    ids=["svg", "html", "gif", "webp", "tiff", "half a jpeg", "half a png", "half a heic", "jpeg of zeros"],
)
def test_what_is_no_whole_picture_of_the_three_formats_is_refused(content):
    with pytest.raises(Problem) as refusal:
        re_encode(content)
    assert (refusal.value.status, refusal.value.code) == (422, "photo-format")


def test_a_bomb_of_pixels_is_an_error_before_it_is_decoded():
    content = encoded(Image.new("1", (10_000, 5_001)), format="PNG")
    assert len(content) < 100_000
    with pytest.raises(Problem) as refusal:
        re_encode(content)
    assert (refusal.value.status, refusal.value.code) == (422, "photo-too-many-pixels")


def test_a_picture_of_24_megapixels_is_taken():
    kept = Image.open(io.BytesIO(keep(encoded(Image.new("RGB", (5_712, 4_284), "grey")))))
    assert kept.size == (5_712, 4_284)


def with_orientation(orientation, **more):
    return piexif.dump({"0th": {piexif.ImageIFD.Orientation: orientation}, **more})


# What a viewer must show in the upper left corner for EXIF orientations 1 to 8 of a picture whose stored upper left
# quarter is red (Exif 2.32, tag 274: which stored row and column is the visual top and left).
RED_CORNER = {1: "upper left", 2: "upper right", 3: "lower right", 4: "lower left",
              5: "upper left", 6: "upper right", 7: "lower right", 8: "lower left"}  # fmt: skip


def corner_of_red(image):
    right, low = image.width - 8, image.height - 8
    corners = {"upper left": (8, 8), "upper right": (right, 8), "lower left": (8, low), "lower right": (right, low)}
    (red,) = [name for name, at in corners.items() if is_red(image.getpixel(at))]
    return red


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_jpeg_is_turned_upright_as_its_exif_says(orientation):
    kept = Image.open(io.BytesIO(keep(encoded(exif=with_orientation(orientation)))))
    assert kept.size == ((64, 48) if orientation < 5 else (48, 64))
    assert corner_of_red(kept) == RED_CORNER[orientation]


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_heic_is_turned_once_and_not_twice(orientation):
    """A HEIC file says its turn in the container and its decoder applies it; its EXIF must not count again."""
    content = encoded(format="HEIF", exif=with_orientation(orientation))
    shown = pillow_heif.open_heif(content).to_pillow()
    kept = Image.open(io.BytesIO(keep(content)))
    assert kept.size == shown.size == ((64, 48) if orientation < 5 else (48, 64))
    assert corner_of_red(kept) == corner_of_red(shown) == RED_CORNER[orientation]


def loaded_with_metadata():
    exif = with_orientation(
        1, GPS={piexif.GPSIFD.GPSLatitudeRef: b"N", piexif.GPSIFD.GPSLatitude: ((52, 1), (0, 1), (0, 1))}
    )
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return encoded(exif=exif, icc_profile=srgb, comment=b"SECRET-COMMENT", dpi=(300, 300))


def test_no_metadata_of_any_kind_is_kept():
    """No location, no comment, no profile; the picture still decodes."""
    sent = loaded_with_metadata()
    assert b"Exif" in sent
    assert b"SECRET-COMMENT" in sent
    kept = keep(sent)
    segments = {kept[i + 1] for i in range(len(kept) - 1) if kept[i] == 0xFF and 0xE1 <= kept[i + 1] <= 0xEF}
    assert not segments, "application segments beyond JFIF"
    for trace in (b"Exif", b"SECRET-COMMENT", b"ICC_PROFILE", b"http://ns.adobe.com"):
        assert trace not in kept
    Image.open(io.BytesIO(kept)).load()


def test_a_polyglot_loses_what_hides_behind_the_picture():
    kept = keep(encoded() + b"PK\x03\x04<script>alert(1)</script>")
    assert b"<script>" not in kept


def test_a_picture_with_a_profile_keeps_its_look_in_srgb():
    """The profile has its red and blue primaries exchanged: what is stored as red is to be seen blue."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exchanged = srgb.replace(b"rXYZ", b"xXYZ", 1).replace(b"bXYZ", b"rXYZ", 1).replace(b"xXYZ", b"bXYZ", 1)
    content = encoded(Image.new("RGB", (40, 40), "red"), icc_profile=exchanged)
    red, green, blue = Image.open(io.BytesIO(keep(content))).getpixel((20, 20))
    assert (red < 10, green < 10, blue > 245) == (True, True, True)


def test_a_transparent_png_is_laid_on_white():
    kept = Image.open(io.BytesIO(keep(encoded(Image.new("RGBA", (40, 40), (0, 0, 0, 0)), format="PNG"))))
    assert min(kept.getpixel((20, 20))) > 250
