"""What somebody's touches on a witness photo said, as an entry holds it: its shape, and which words it is made of.

The phone judges the same: pwa/js/domain/job/picture-reading.js, bound by fixtures/golden/picture.json. No Flask.
"""

import math
import re

SLOT = re.compile(r"(?:round\.\d+\.)?fit\.(?:left|right)\.picture\.(.+)")
VERDICTS = ("agrees", "differs", "cannot-tell")
_RINGS_READ = ("inner", "outer")
_VIEWS = ("outside", "behind")
_LOOKS = ("inboard", "outboard", None)
_FACES = ("as-planned", "other-way", None)
_LARGEST = 20_000
# Codes that stay when a job is erased: none is anybody's own word.
WORDS = (
    *VERDICTS, *_RINGS_READ, *_VIEWS, "inboard", "outboard", "as-planned", "other-way", "mark", "face", "touches-apart",
    "which-way", "slanted", "between-marks",
)  # fmt: skip


def is_picture_read(value) -> bool:
    """Return whether a field's value is what a phone writes of a picture that was read."""
    read = value.get("picture_read") if isinstance(value, dict) else None
    if not isinstance(read, dict) or read.get("ring") not in _RINGS_READ or read.get("from") not in _VIEWS:
        return False
    ids = (read.get("photo"), read.get("plan"))
    return (
        all(isinstance(part, str) and len(part) <= 120 for part in ids)
        and _is_point(read.get("size"))
        and _is_point(read.get("line"))
        and _is_list_of(read.get("marks"), _is_touch, 3, 4)
        and _is_list_of(read.get("planned"), _is_mark, 1, 2)
        and _is_said(read.get("said"))
    )


def _is_said(said) -> bool:
    if not isinstance(said, dict) or said.get("verdict") not in VERDICTS:
        return False
    why, looks, face = (said.get(key, 0) for key in ("why", "looks", "face"))
    between, mark, turn = (said.get(key, "") for key in ("between", "mark", "turn_deg"))
    return (
        (why is None or (isinstance(why, str) and len(why) <= 40))
        and looks in _LOOKS
        and face in _FACES
        and (face != "other-way" or looks is not None)
        and (said["verdict"] != "agrees" or mark is not None)
        and (between is None or _is_list_of(between, _is_mark, 2, 2))
        and (mark is None or _is_mark(mark))
        and (turn is None or _is_number(turn))
    )


def _is_touch(touch) -> bool:
    return _is_list_of(touch, _is_number, 3, 3) and _is_mark(touch[0])


def _is_point(point) -> bool:
    return _is_list_of(point, _is_number, 2, 2)


def _is_mark(mark) -> bool:
    return _is_number(mark) and mark == int(mark) and mark >= 0


def _is_number(number) -> bool:
    is_one = isinstance(number, int | float) and not isinstance(number, bool)
    return is_one and math.isfinite(number) and abs(number) <= _LARGEST


def _is_list_of(part, holds, least: int, most: int) -> bool:
    return isinstance(part, list) and least <= len(part) <= most and all(map(holds, part))
