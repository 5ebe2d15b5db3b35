"""What the customer's report says of the shop beside its name: address, telephone, logo, and a foot in its own words.

No Flask. Kept among the shop's settings, so it comes with every backup.
"""

import base64
import hashlib
import io

from PIL import Image

from server.photos import pictures
from server.store import Connection, settings
from server.web.errors import MEGABYTE, Problem

TEXTS, LOGO = "letterhead", "letterhead-logo"  # names of settings
LARGEST_FILE = 8_000_000  # bytes of what is chosen at the desk
LARGEST_LOGO = 30_000  # bytes of what every phone gets
MIME = pictures.MIME
LANGUAGES = {"en": "English", "es": "Español"}  # of the report at the desk; a phone says it in its own

# field -> (its name on the page, most characters, most lines)
FIELDS = {
    "address": ("Address", 300, 6),
    "telephone": ("Telephone", 80, 2),
    "footer": ("Foot of the report", 1500, 20),
}
_BOX = (600, 240)  # pixels: 50 mm by 20 mm at 300 to the inch
_SMALLEST = 40
_QUALITIES = (90, 80, 70, 60)


class NoLogo(Exception):
    """Why a file cannot be the logo, what was expected, what to do."""


def texts_of(connection: Connection) -> dict[str, str]:
    """Return the fields and `language`, empty where nobody has said anything."""
    said = settings.get(connection, TEXTS) or {}
    return {field: said.get(field, "") for field in FIELDS} | {"language": said.get("language", "en")}


def clean(typed: dict[str, str]) -> tuple[dict[str, str], dict[str, str]]:
    """Return (what is to be kept, field -> what is wrong with it)."""
    kept = {field: "\n".join(line.rstrip() for line in typed.get(field, "").splitlines()).strip() for field in FIELDS}
    flaws = {}
    for field, (name, characters, lines) in FIELDS.items():
        length, number = len(kept[field]), kept[field].count("\n") + 1
        if length > characters:
            flaws[field] = f"{name}: expected at most {characters} characters, got {length}. Shorten it."
        elif number > lines:
            flaws[field] = f"{name}: expected at most {lines} lines, got {number}. Put some of them together."
    kept["language"] = typed.get("language") if typed.get("language") in LANGUAGES else "en"
    return kept, flaws


def logo_of(connection: Connection) -> dict | None:
    """Return {sha256, width, height, content} of the logo, or None where there is none."""
    said = settings.get(connection, LOGO)
    return said and {**said, "content": base64.b64decode(said["content"])}


def logo_from(content: bytes) -> dict:
    """Make a small JPEG of a picture that was chosen, without anything else that was in the file, as LOGO keeps it.

    Raises NoLogo, in words for the page.
    """
    if not content:
        raise NoLogo("No file was chosen, or it is empty. Choose a PNG or JPEG, then press the button again.")
    if len(content) > LARGEST_FILE:
        got, most = len(content) / MEGABYTE, LARGEST_FILE // MEGABYTE
        raise NoLogo(f"Expected a file of at most {most} MB, got one of {got:.1f} MB. Save the picture smaller.")
    try:
        whole = pictures.re_encode(content)
    except Problem as problem:
        why = problem.details.get("why") or f"it has {problem.details.get('got')} million pixels"
        raise NoLogo(f"Expected a PNG or JPEG that can be read to its end ({why}). Save it anew as one.") from None
    with Image.open(io.BytesIO(whole.content)) as image:
        image.thumbnail(_BOX)
        small = _small_enough(image.convert("RGB"))
    with Image.open(io.BytesIO(small)) as made:
        width, height = made.size
    digest, text = hashlib.sha256(small).hexdigest(), base64.b64encode(small).decode()
    return {"sha256": digest, "width": width, "height": height, "content": text}


def _small_enough(image: Image.Image) -> bytes:
    while True:
        for quality in _QUALITIES:
            out = io.BytesIO()
            image.save(out, format="JPEG", quality=quality, optimize=True)
            if out.tell() <= LARGEST_LOGO:
                return out.getvalue()
        image = image.resize([max(_SMALLEST, side * 3 // 4) for side in image.size])


def told(connection: Connection, name: str) -> dict:
    """Return what a phone or a report is told: `name`, the fields, and of the logo its hash and size."""
    logo, said = logo_of(connection), texts_of(connection)
    shown = logo and {part: logo[part] for part in ("sha256", "width", "height")}
    return {"name": name, **{field: said[field] for field in FIELDS}, "logo": shown}
