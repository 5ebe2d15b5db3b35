"""Draws the demo shop's photos: a hub seen from the side, with a line painted across its edges. No stock picture."""

import hashlib
import io
import math

from PIL import Image, ImageDraw

WIDTH, HEIGHT = 640, 480
_BACKGROUND, _STEEL, _EDGE, _PAINT = "#4a4f52", "#9aa1a5", "#2b2f31", "#f2f0e6"


def draw(about: str, plate: str) -> bytes:
    """Return a JPEG that differs for every (about, plate)."""
    turn = int(hashlib.sha256(f"{about}{plate}".encode()).hexdigest()[:4], 16) % 360
    image = Image.new("RGB", (WIDTH, HEIGHT), _BACKGROUND)
    pen = ImageDraw.Draw(image)
    middle = (WIDTH // 2, HEIGHT // 2)
    for radius, fill in ((190, _EDGE), (184, _STEEL), (150, _EDGE), (146, "#b4babd"), (58, _EDGE)):
        pen.circle(middle, radius, fill=fill)
    for bolt in range(5):
        pen.circle(_at(middle, 104, turn + bolt * 72), 16, fill=_EDGE)
    pen.line([_at(middle, 140, turn), _at(middle, 196, turn)], fill=_PAINT, width=9)
    pen.text((16, HEIGHT - 34), f"{plate}   {about}", fill=_PAINT, font_size=18)
    out = io.BytesIO()
    image.save(out, format="JPEG", quality=85)
    return out.getvalue()


def _at(middle: tuple[int, int], radius: int, degrees: int) -> tuple[float, float]:
    return (
        middle[0] + radius * math.sin(math.radians(degrees)),
        middle[1] - radius * math.cos(math.radians(degrees)),
    )
