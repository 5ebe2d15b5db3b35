"""Makes the kept picture from bytes of unknown origin, in a process of its own: pictures.py starts it and says why.

It is run by itself, knows nothing of the server, and reads pictures from its standard input until that ends: 8 bytes
of length, then the picture. It answers each with a line of JSON, {"length", "width", "height"} and the bytes, or
{"code", "details"} of a refusal.
"""

import io
import json
import math
import os
import sys
import time
from contextlib import suppress

import pillow_heif
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

LONGEST_SIDE = 65_500  # libjpeg's JPEG_MAX_DIMENSION
_FORMATS = ("JPEG", "PNG", "HEIF")
_QUALITY = 90
_NICE = 10


class Refused(Exception):
    def __init__(self, code: str, **details):
        self.said = {"code": code, "details": details}
        super().__init__(code)


def re_encode(content: bytes, most_pixels: int) -> tuple[bytes, int, int]:
    """Return the picture to keep, its width and height. Raises Refused."""
    try:
        with Image.open(io.BytesIO(content), formats=_FORMATS) as image:
            _check_size(image, most_pixels)
            image.load()
            clean = _on_white(_in_srgb(_upright(image)))
        out = io.BytesIO()
        clean.save(out, format="JPEG", quality=_QUALITY)
    except Refused:
        raise
    except UnidentifiedImageError:
        raise Refused("photo-format", why="its first bytes are of no such format") from None
    except MemoryError:
        raise Refused("photo-format", why="reading it takes more memory than a picture may") from None
    except Exception as error:  # a decoder of foreign bytes may raise anything, and all of it means the same
        raise Refused("photo-format", why=str(error)[:100]) from None
    return out.getvalue(), *clean.size


def _check_size(image: Image.Image, most_pixels: int) -> None:
    pixels = image.width * image.height
    if pixels > most_pixels:
        raise Refused("photo-too-many-pixels", got=round(pixels / 1e6), most=most_pixels // 1_000_000)
    if max(image.size) > LONGEST_SIDE:
        why = f"a side of {max(image.size)} pixels is longer than the {LONGEST_SIDE} that a JPEG may have"
        raise Refused("photo-format", why=why)


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


def bound(seconds: int, memory: int | None = None) -> None:
    """Have the system end this process after so many seconds of computing more, and refuse it more bytes of memory."""
    with suppress(ImportError, ValueError, OSError):  # not every system knows such bounds; the parent has a clock
        import resource

        if memory:
            resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        hard = resource.getrlimit(resource.RLIMIT_CPU)[1]
        resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(time.process_time()) + seconds, hard))


def give_way() -> None:
    """On a busy machine let whoever saves an entry go first."""
    with suppress(AttributeError, OSError):  # not every system knows it
        os.nice(_NICE)


def main(most_pixels: int, seconds: int, memory: int) -> None:
    pillow_heif.register_heif_opener()
    # The check of the pixels above is stricter than Pillow's own, which warns first and refuses later.
    Image.MAX_IMAGE_PIXELS = None
    bound(seconds, memory)
    give_way()
    comes, goes = sys.stdin.buffer, sys.stdout.buffer
    while len(head := comes.read(8)) == 8:
        content = comes.read(int.from_bytes(head, "big"))
        bound(seconds)
        try:
            kept, width, height = re_encode(content, most_pixels)
            said = {"length": len(kept), "width": width, "height": height}
        except Refused as refusal:
            kept, said = b"", refusal.said
        goes.write(json.dumps(said).encode() + b"\n" + kept)
        goes.flush()


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
