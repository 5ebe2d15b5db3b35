"""How often five touches on a picture of a known fitting are read right, and how sharp a rendered picture must be.

Run as `python -m tests.bench.bench_picture [pictures of each line]`; 300 if nothing is said. Rendered pictures, not
real ones (tests/calc/rendered_rim.py): 350 to 600 mm away, slanted to 15 degrees, any roll, a lens that is not known.
Not collected by pytest: tests/calc/test_read_picture.py holds a smaller version.
"""

import sys
from random import Random

import numpy as np
from PIL import Image

from calc.picture.quality import WORKING_PX, glare_share, sharpness
from tests.calc.picture_rates import rates
from tests.calc.rendered_rim import AWAY_MM, Seen, demo_ring

COUNT = 300
AS_GUIDED_MM = (200.0, 350.0)  # where the guide of the camera brings a phone
TOUCHED = [(36, 1.0), (54, 1.0), (72, 1.0), (90, 1.0), (54, 0.5), (54, 1.5), (54, 2.0), (54, 3.0)]
WRONG = [("", 0), ("mark", 0), ("turn", 0), ("face", 0), ("", 1), ("", -1), ("", 5), ("", 10)]
PICTURES = [
    ("sharp", {}), ("dim and grainy", {"light": 0.4, "noise": 6}), ("blurred by 1.5 px", {"blur_px": 1.5}),
    ("by 2.2", {"blur_px": 2.2}), ("by 3", {"blur_px": 3}), ("by 5", {"blur_px": 5}),
    ("by 3, dim and grainy", {"blur_px": 3, "light": 0.4, "noise": 6}), ("a lamp in it", {"glare": 0.5}),
]  # fmt: skip


def share(tally, name: str, count: int) -> str:
    return f"{100 * tally[name] / count:5.1f}"


def print_touched(count: int) -> None:
    print(
        "| marks | touches off, mm | away, mm | mark right % | wrong % | cannot tell % | turn wrong % | face wrong % |"
    )
    print("|---|---|---|---|---|---|---|---|")
    lines = [(*touched, AWAY_MM) for touched in TOUCHED] + [(marks, 1.0, AS_GUIDED_MM) for marks in (54, 72)]
    for marks, off_mm, away_mm in lines:
        tally = rates(count, marks, off_mm, away_mm=away_mm)
        names = ("mark-right", "mark-wrong", "no-mark", "turn-wrong", "face-wrong")
        print(
            f"| {marks} | {off_mm} | {away_mm[0]:.0f} to {away_mm[1]:.0f} |",
            " | ".join(share(tally, name, count) for name in names),
            "|",
        )


def print_wrong(count: int) -> None:
    print("\n| 54 marks, touches off by 1 mm | agrees % | does not agree % | cannot tell % |\n|---|---|---|---|")
    for wrong, slip in WRONG:
        tally = rates(count, 54, 1.0, wrong, slip)
        name = {"": "as planned", "mark": "one or two marks off", "turn": "turned by a bolt", "face": "turned over"}[
            wrong
        ]
        name += f", one number misread by {slip}" if slip else ""
        print(
            f"| {name} |", " | ".join(share(tally, said, count) for said in ("agrees", "differs", "cannot-tell")), "|"
        )


def print_quality(count: int) -> None:
    print("\n| picture | sharpness, least to most | glare, least to most |\n|---|---|---|")
    for name, how in PICTURES:
        found = [quality_of(seed, how) for seed in range(count)]
        edges = [f"{min(part):.4f} to {max(part):.4f}" for part in zip(*found, strict=True)]
        print(f"| {name} |", " | ".join(edges), "|")


def quality_of(seed: int, how: dict) -> tuple[float, float]:
    """Return (sharpness, glare share) of one rendered picture, made small as the phone does."""
    seen = Seen(Random(seed), demo_ring(), 19, 1)
    picture = seen.picture(**how).convert("L")
    scale = WORKING_PX / max(picture.size)
    small = picture.resize([round(side * scale) for side in picture.size], Image.Resampling.BOX)
    x, y = seen.pixel(0, 0) * scale
    rim = (x, y, 74 * seen.px_per_mm * scale)
    values = np.asarray(small).ravel()
    return sharpness(values, *small.size, rim), glare_share(values, *small.size, rim)


if __name__ == "__main__":
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    print_touched(wanted)
    print_wrong(wanted)
    print_quality(min(wanted, 8))
