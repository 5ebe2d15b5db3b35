"""The cutting drawing of one ring at 1:1, in mm, as seen on its marked face: what is laid on the ring before cutting.

The numbers come from calc; here they only get their places on the paper. x to the right, y down, the hub's centre at
the origin. It must never scale anything.
"""

import math

from calc.rings.cutting import clearance_marks
from calc.rings.placement import ring_drawing, seen_point
from calc.rings.rings import Ring, marked_face

CHECK_LINE_MM = 100
_TICK_MM, _NUMBER_MM, _TOP_NUMBER_MM, _WIDEST_NUMBER_MM = 3.0, 6.0, 10.0, 5.5
_SIDE_MM, _ABOVE_MM, _BELOW_MM = 4, 13, 22  # round the ring: for its strokes, for the words, for the line to measure
_HEADING_MM = 30  # what stands above the drawing on its page
# Sheets of ISO 216 and ANSI/ASME Y14.1, less 10 mm at each side: name, width, height. Each pair from small to large.
_PAPERS = ((("A4", 190, 277), ("A3", 277, 400), ("A2", 400, 574)),
           (("US Letter", 195.9, 259.4), ("US Tabloid", 259.4, 411.8), ("ANSI C", 411.8, 538.8)))  # fmt: skip


def drawing_of(ring: Ring, mark_at_top: int, wheel: str, bolts: list, clearance_mm: float | None) -> dict:
    """Return the drawing. `bolts`: (radius_mm, clock_deg); `clearance_mm`: how wide the holes are to be, or None."""
    seen = ring_drawing(ring, mark_at_top, wheel)
    looks = marked_face(ring, wheel)
    mirror = 1 if looks == "outboard" else -1  # from inboard, left and right are exchanged
    rim, bore = ring.outer_diameter_mm / 2, ring.bore_diameter_mm / 2
    every = _every(ring, rim)

    def place(x: float, y: float, radius: float = 1.0) -> list[float]:
        return [round(mirror * x * radius, 3), round(-y * radius, 3)]

    return {
        "rim": rim,
        "bore": bore,
        "looks": looks,
        "front": "right" if (wheel == "right") == (mirror == 1) else "left",
        "width": _width(rim),
        "height": _height(rim),
        "above": _ABOVE_MM,
        "paper": _least_paper(rim),
        "marks": [
            {
                "mark": mark,
                "from": place(x, y, rim),
                "to": place(x, y, rim - (2 * _TICK_MM if mark == mark_at_top else _TICK_MM)),
                "number": place(x, y, rim - (_TOP_NUMBER_MM if mark == mark_at_top else _NUMBER_MM))
                if _has_number(mark, every, mark_at_top, ring)
                else None,
                "top": mark == mark_at_top,
            }
            for mark, _, x, y in seen["marks"]
        ],
        "thick": place(*seen["thick_seen"], rim),
        "thick_clock": seen["thick_clock_deg"],
        "bolts": [
            {"number": number, **_bolt(ring, mark_at_top, wheel, bolt, clearance_mm, place)}
            for number, bolt in enumerate(bolts, 1)
        ],
    }


def _width(rim: float) -> float:
    return max(2 * rim, CHECK_LINE_MM) + 2 * _SIDE_MM


def _height(rim: float) -> float:
    return 2 * rim + _ABOVE_MM + _BELOW_MM


def _least_paper(rim: float) -> str:
    """Return the smallest sheets, one of each standard, that hold the drawing upright with its heading."""
    fits = [
        next((name for name, width, height in row if width >= _width(rim) and height >= _height(rim) + _HEADING_MM), "")
        for row in _PAPERS
    ]
    return " or ".join(filter(None, fits)) or "larger than A2 and ANSI C"


def _every(ring: Ring, rim: float) -> int:
    """Return the least step of numbers that leaves each of them room."""
    apart = 2 * math.pi * (rim - _NUMBER_MM) / ring.marks
    return next((step for step in (1, 2, 5, 10, 20, 50) if step * apart >= _WIDEST_NUMBER_MM), 100)


def _has_number(mark: int, every: int, mark_at_top: int, ring: Ring) -> bool:
    """Numbers that would run into the one at the top are left out."""
    if mark == mark_at_top:
        return True
    away = abs((mark - mark_at_top + ring.marks / 2) % ring.marks - ring.marks / 2)
    return mark % every == 0 and away >= every


def _bolt(ring: Ring, mark_at_top: int, wheel: str, bolt, clearance_mm, place) -> dict:
    radius_mm, clock_deg = bolt
    half = (clearance_mm or 0) / 2
    rim, bore = ring.outer_diameter_mm / 2, ring.bore_diameter_mm / 2
    return {
        "at": place(*seen_point(wheel, clock_deg), radius_mm),
        "label": place(*seen_point(wheel, clock_deg), radius_mm - half - 4),
        "half": half,
        "radius_mm": radius_mm,
        "clock_deg": clock_deg,
        "between": clearance_marks(ring, mark_at_top, bolt, clearance_mm)["between"] if clearance_mm else None,
        "breaks": "the rim" if radius_mm + half > rim else "the bore" if radius_mm - half < bore else None,
    }
