"""Pictures for the tests of photos, and what a phone does with one: attach it, send it, look at what is kept."""

import hashlib
import io

import pillow_heif
from PIL import Image, ImageDraw

pillow_heif.register_heif_opener()


def name_of(content):
    return hashlib.sha256(content).hexdigest()


def picture(width=64, height=48):
    """Red in the upper left quarter, blue elsewhere."""
    image = Image.new("RGB", (width, height), "blue")
    ImageDraw.Draw(image).rectangle((0, 0, width // 2 - 1, height // 2 - 1), fill="red")
    return image


def encoded(image=None, **options):
    out = io.BytesIO()
    (image or picture()).save(out, **({"format": "JPEG", "quality": 95} | options))
    return out.getvalue()


def attach(phone, job, content, **changes):
    body = {"sha256": name_of(content), "mime": "image/jpeg", "bytes": len(content), "about": "fit.witness-line"}
    entry = phone.entry(job, "photo-attached", body, **changes)
    return entry, phone.sync([entry])


def keep(phone, job, content):
    """Attach and send a photo; return what the server kept of it, as bytes."""
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert answer.status_code == 201, answer.text
    return phone.client.get(f"/api/photos/{name_of(content)}").data


def is_red(pixel):
    return pixel[0] > 200 and pixel[2] < 60
