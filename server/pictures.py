"""Makes the picture that is kept out of the bytes that a phone sent: upright, sRGB, JPEG, no metadata at all.

Re-encoding is also the check: what is kept was decoded to its last pixel, so nothing hidden behind a picture survives.
"""

import io
import threading
from dataclasses import dataclass

import pillow_heif
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from server.errors import Problem
from server.limits import MOST_PIXELS

MIME = "image/jpeg"
_FORMATS = ("JPEG", "PNG", "HEIF")
_QUALITY = 90
_AT_ONCE = 2  # a picture of 50 million pixels takes some 400 MB while it is worked on

pillow_heif.register_heif_opener()
# The check of MOST_PIXELS below is stricter than Pillow's own, which warns first and refuses later.
Image.MAX_IMAGE_PIXELS = None
_turns = threading.BoundedSemaphore(_AT_ONCE)


@dataclass(frozen=True)
class Picture:
    content: bytes
    width: int
    height: int


def re_encode(content: bytes) -> Picture:
    """Return the picture to keep. Raises Problem `photo-format`, `photo-too-many-pixels`."""
    with _turns:
        try:
            with Image.open(io.BytesIO(content), formats=_FORMATS) as image:
                _check_size(image)
                image.load()
                clean = _on_white(_in_srgb(_upright(image)))
        except Problem:
            raise
        except UnidentifiedImageError:
            raise Problem("photo-format", why="its first bytes are of no such format") from None
        except Exception as error:  # a decoder of foreign bytes may raise anything, and all of it means the same
            raise Problem("photo-format", why=str(error)[:100]) from None
        out = io.BytesIO()
        clean.save(out, format="JPEG", quality=_QUALITY)
        return Picture(out.getvalue(), *clean.size)


def _check_size(image: Image.Image) -> None:
    pixels = image.width * image.height
    if pixels > MOST_PIXELS:
        raise Problem("photo-too-many-pixels", got=round(pixels / 1e6), most=MOST_PIXELS // 1_000_000)


def _upright(image: Image.Image) -> Image.Image:
    """HEIC was turned by its decoder, and what its EXIF still says must not turn it again; the others turn here."""
    return image if image.format == "HEIF" else ImageOps.exif_transpose(image)


def _in_srgb(image: Image.Image) -> Image.Image:
    """Turn the colours of a phone's wide-gamut profile into sRGB, because the profile is dropped with the rest."""
    profile = image.info.get("icc_profile")
    if not profile or image.mode not in ("RGB", "L", "CMYK"):
        return image
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError):
        return image  # a broken profile; the colours stay as they are


def _on_white(image: Image.Image) -> Image.Image:
    """Copy the pixels alone onto a new picture: whatever else the image object carries stays behind."""
    clean = Image.new("RGB", image.size, "white")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        layer = image.convert("RGBA")
        clean.paste(layer, mask=layer.getchannel("A"))
    else:
        clean.paste(image.convert("RGB"))
    return clean
