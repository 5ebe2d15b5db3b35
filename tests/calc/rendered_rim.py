"""Pictures of known fittings: a ring on its flange with numbers and a painted line, seen by a camera, and its touches.

The camera is a model of its own: any angle of view and place, a lens that bends a little; the reader knows none of it.
"""

import math
from dataclasses import dataclass, field
from random import Random

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from calc.picture.read_picture import marks_to_touch
from calc.rings.rings import Ring

WIDTH, HEIGHT = 1600, 1200
AWAY_MM, MOST_TILT_DEG = (350.0, 600.0), 15.0
LINED_UP_STEPS = 0.15
_FLAT_PX_PER_MM, _FLAT_MM = 8, 100.0  # the flat drawing: its scale, and how far it reaches from the centre


@dataclass
class Seen:
    """One picture. `at_line`: the mark with the line; `sense`: 1 where the numbers run clockwise as seen."""

    random: Random
    ring: Ring
    at_line: int
    sense: int
    away_mm: tuple[float, float] = AWAY_MM
    off_steps: float = field(init=False)

    def __post_init__(self):
        draw = self.random.uniform
        self.off_steps = self.random.gauss(0, LINED_UP_STEPS)
        self.focal_px = WIDTH * draw(0.65, 1.0)
        self.roll, around = draw(0, 2 * math.pi), draw(0, 2 * math.pi)
        far, tilt = draw(*self.away_mm), math.radians(draw(0, MOST_TILT_DEG))
        self.turn = _turned(tilt * math.cos(around), tilt * math.sin(around))
        self.bend = draw(-0.03, 0.03)
        self.place = np.array([draw(-0.08, 0.08) * far, draw(-0.05, 0.05) * far, far])

    def angle(self, mark: float) -> float:
        """Where a mark stands, clockwise from the drawing's top, radians."""
        return self.sense * (mark - self.ring.first_mark) * self.ring.step_rad

    @property
    def line_angle(self) -> float:
        return self.angle(self.at_line + self.off_steps)

    def pixel(self, angle: float, radius_mm: float) -> np.ndarray:
        at = angle + self.roll
        flat = np.array([radius_mm * math.sin(at), -radius_mm * math.cos(at), 0.0])
        x, y, z = self.turn @ flat + self.place
        ray = np.array([x / z, y / z])
        return ray * (1 + self.bend * (ray @ ray)) * self.focal_px + np.array([WIDTH / 2, HEIGHT / 2])

    @property
    def px_per_mm(self) -> float:
        return self.focal_px / self.place[2]

    def touch(self, angle: float, off_mm: float) -> list[float]:
        """A touch of the rim, off by `off_mm` (SD across each axis)."""
        x, y = self.pixel(angle, self.ring.outer_diameter_mm / 2)
        off = off_mm * self.px_per_mm
        moved = x + self.random.gauss(0, off), y + self.random.gauss(0, off)
        return [round(min(max(at, 0), most), 1) for at, most in zip(map(float, moved), (WIDTH, HEIGHT), strict=True)]

    def touches(self, off_mm: float, slip: int = 0) -> dict:
        """What a person touches; `slip`: instead of one of the numbers another so many marks away."""
        marks = [quarter[0] for quarter in marks_to_touch(self.ring) if quarter]
        slipped = self.random.choice(marks)
        return {
            "size": [WIDTH, HEIGHT],
            "line": self.touch(self.line_angle, off_mm),
            "marks": [[mark, *self.touch(self.angle(mark + slip * (mark == slipped)), off_mm)] for mark in marks],
        }

    def picture(self, blur_px: float = 0.0, glare: float = 0.0, light: float = 1.0, noise: float = 3.0) -> Image.Image:
        """The picture itself: out of focus by `blur_px`, with a lamp's reflection on the rim as strong as `glare`."""
        flat = np.asarray(self._flat(), dtype=np.float32)
        x, y = self._flat_places()
        inside = (x >= 0) & (y >= 0) & (x < flat.shape[1] - 1) & (y < flat.shape[0] - 1)
        rows, columns = np.where(inside, y, 0).astype(int), np.where(inside, x, 0).astype(int)
        part_x, part_y = (np.where(inside, x, 0) - columns)[..., None], (np.where(inside, y, 0) - rows)[..., None]
        upper = flat[rows, columns] * (1 - part_x) + flat[rows, columns + 1] * part_x
        lower = flat[rows + 1, columns] * (1 - part_x) + flat[rows + 1, columns + 1] * part_x
        seen = np.where(inside[..., None], upper * (1 - part_y) + lower * part_y, 50.0)
        across, down = np.meshgrid(np.linspace(-1, 1, WIDTH), np.linspace(-1, 1, HEIGHT))
        seen = seen * (light * (1 - 0.25 * (across**2 + down**2) / 2 + 0.15 * across))[..., None]
        if glare:
            spot = self.pixel(self.line_angle + 0.35, self.ring.outer_diameter_mm / 2 - 10)
            away = np.hypot(*np.meshgrid(np.arange(WIDTH) - spot[0], np.arange(HEIGHT) - spot[1]))
            seen = seen + (600 * glare * np.exp(-((away / (30 * self.px_per_mm)) ** 2)))[..., None]
        image = Image.fromarray(np.clip(seen, 0, 255).astype(np.uint8))
        image = image.filter(ImageFilter.GaussianBlur(blur_px)) if blur_px else image
        grain = np.random.default_rng(self.random.randrange(2**32)).normal(0, noise, (HEIGHT, WIDTH, 1))
        return Image.fromarray(np.clip(np.asarray(image) + grain, 0, 255).astype(np.uint8))

    def _flat_places(self) -> tuple[np.ndarray, np.ndarray]:
        """Where in the flat drawing each pixel of the picture lies: (HEIGHT, WIDTH) each."""
        across, down = np.meshgrid(np.arange(WIDTH) - WIDTH / 2, np.arange(HEIGHT) - HEIGHT / 2)
        bent = np.stack([across, down]) / self.focal_px
        ray = bent * (1 - self.bend * np.sum(bent * bent, axis=0))  # its own inverse to first order
        first, second, normal = self.turn.T
        away = np.stack([ray[0], ray[1], np.ones_like(ray[0])], axis=-1)
        space = away * (self.place @ normal / (away @ normal))[..., None] - self.place
        on_x, on_y = space @ first, space @ second
        cos, sin = math.cos(self.roll), math.sin(self.roll)
        flat_x, flat_y = cos * on_x + sin * on_y, -sin * on_x + cos * on_y
        return (flat_x + _FLAT_MM) * _FLAT_PX_PER_MM, (flat_y + _FLAT_MM) * _FLAT_PX_PER_MM

    def _flat(self) -> Image.Image:
        """The ring on its flange, looked at straight: rim, marks, numbers upright to the rim, holes, the line."""
        side = int(2 * _FLAT_MM * _FLAT_PX_PER_MM)
        image = Image.new("RGB", (side, side), (52, 50, 48))
        pen = ImageDraw.Draw(image)
        rim, bore = self.ring.outer_diameter_mm / 2, self.ring.bore_diameter_mm / 2
        _disc(pen, rim + 7, (88, 84, 80))
        _disc(pen, rim, (176, 178, 180))
        _disc(pen, bore, (40, 38, 36))
        for quarter in range(4):
            _disc(pen, 6.5, (45, 42, 40), *_at(math.pi / 4 + quarter * math.pi / 2, bore + 12))
        every = 1 if 2 * math.pi * (rim - 11) / self.ring.marks >= 6.2 else 5
        font = ImageFont.load_default(size=int(4.6 * _FLAT_PX_PER_MM))
        for mark in self.ring.mark_numbers.tolist():
            angle = self.angle(mark)
            ends = [_pixel(*_at(angle, radius)) for radius in (rim - (6 if mark % 5 == 0 else 4), rim)]
            pen.line(ends, fill=(30, 30, 32), width=int(0.5 * _FLAT_PX_PER_MM))
            if mark % every == 0:
                _number(image, str(mark), angle, rim - 10, font)
        line = [_pixel(*_at(self.line_angle, radius)) for radius in (rim - 3, rim + 14)]
        pen.line(line, fill=(226, 92, 24), width=int(1.6 * _FLAT_PX_PER_MM))
        return image


def demo_ring(marks: int = 54, direction: str = "clockwise", face: str = "outboard") -> Ring:
    """A ring of 148 mm, numbered from 1; `face`: where its marked face looks on the right wheel."""
    return Ring(marks, 1, direction, face, 550, 8, 1.0, 2.4, 148.0, 62.0)


def _at(angle: float, radius_mm: float) -> tuple[float, float]:
    return radius_mm * math.sin(angle), -radius_mm * math.cos(angle)


def _pixel(x_mm: float, y_mm: float) -> tuple[float, float]:
    return (x_mm + _FLAT_MM) * _FLAT_PX_PER_MM, (y_mm + _FLAT_MM) * _FLAT_PX_PER_MM


def _disc(pen: ImageDraw.ImageDraw, radius_mm: float, fill, x_mm: float = 0.0, y_mm: float = 0.0) -> None:
    (x, y), radius = _pixel(x_mm, y_mm), radius_mm * _FLAT_PX_PER_MM
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=fill)


def _number(image: Image.Image, text: str, angle: float, radius_mm: float, font) -> None:
    left, top, right, bottom = font.getbbox(text)
    stamp = Image.new("L", (int(right - left) + 4, int(bottom - top) + 4), 0)
    ImageDraw.Draw(stamp).text((2 - left, 2 - top), text, fill=255, font=font)
    stamp = stamp.rotate(-math.degrees(angle), expand=True, resample=Image.Resampling.BICUBIC)
    x, y = _pixel(*_at(angle, radius_mm))
    image.paste((28, 28, 30), (int(x - stamp.width / 2), int(y - stamp.height / 2)), stamp)


def _turned(p: float, q: float) -> np.ndarray:
    """The rotation by the vector (p, q, 0), as Rodrigues writes it."""
    turn = math.hypot(p, q)
    axis = np.array([p, q, 0.0]) / (turn or 1.0)
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.eye(3) + math.sin(turn) * cross + (1 - math.cos(turn)) * cross @ cross
