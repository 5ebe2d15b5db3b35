"""The plots of the learning page as numbers for SVG: observed against planned, turns, first rounds.

Sizes come in mdeg and turns in degrees; places are in units of the drawing, y downwards. No Flask, no SQL.
"""

from collections import Counter

from server.desk.drawings.tilt_map import ticks_between
from server.desk.words import words
from server.records.past_fittings import FirstRounds, Fitting

LEFT, TOP, WIDE = 62, 14, 262
_HIGHEST = 420
_ROOM = 1.06
_LEAST_MDEG = 100
TURN_TOP, TURN_BASE = 36, 142
_BIN_DEG = 5
_LEAST_BINS, _MOST_BINS = 4, 12  # at each side of the middle one
BAR = 560


def observed_against_planned(fittings: list[Fitting]) -> dict:
    """Return the scatter: each fitting by the size of its planned change and by what came of it along that change.

    One scale for both, so that what went as planned lies on the line of 45 degrees.
    """
    points = [(abs(fitting.planned), abs(fitting.planned) + fitting.along) for fitting in fittings]
    high = max(_LEAST_MDEG, *(max(pair) for pair in points)) * _ROOM
    low = min(0.0, *(observed for _, observed in points)) * _ROOM
    scale = min(WIDE / high, _HIGHEST / (high - low))
    bottom = TOP + (high - low) * scale

    def place(planned: float, observed: float) -> tuple[float, float]:
        return round(LEFT + planned * scale, 1), round(bottom - (observed - low) * scale, 1)

    ticks = ticks_between(0, high, 6)[1]
    return {
        "height": round(bottom + 44),
        "points": [place(*pair) for pair in points],
        "line": (*place(0, 0), *place(high, high)),
        "frame": {"right": place(high, 0)[0], "bottom": round(bottom, 1)},
        "zero": place(0, 0)[1],
        "x_ticks": [(place(tick, 0)[0], f"{words.degrees(tick)}°") for tick in ticks],
        "y_ticks": [(place(0, tick)[1], f"{words.degrees(tick)}°") for tick in ticks],
        "goes_back": low < 0,
    }


def turns(fittings: list[Fitting], mean: tuple[float, float | None, float | None] | None) -> dict:
    """Return the distribution of turns, in bins about multiples of 5 degrees; the outermost hold what lies beyond.

    `mean`: with its interval, as the table below says it.
    """
    at = [round(fitting.turn_deg / _BIN_DEG) for fitting in fittings]
    bins = min(max([_LEAST_BINS, *map(abs, at)]), _MOST_BINS)
    counted = Counter(min(max(number, -bins), bins) for number in at)
    most, wide = max(counted.values(), default=1), WIDE / (2 * bins + 1)

    def across(degrees: float) -> float:
        inside = min(max(degrees / _BIN_DEG, -bins - 0.5), bins + 0.5)
        return round(LEFT + (inside + bins + 0.5) * wide, 1)

    every = 2 if bins <= 6 else 4
    return {
        "bars": [
            {
                "x": across(number * _BIN_DEG - _BIN_DEG / 2),
                "width": round(wide, 1),
                "height": round(count / most * (TURN_BASE - TURN_TOP), 1),
                "count": count,
                "words": turn_words(number * _BIN_DEG),
                "is_end": abs(number) == bins == _MOST_BINS,
            }
            for number, count in sorted(counted.items())
        ],
        "ticks": [(across(n * _BIN_DEG), f"{abs(n) * _BIN_DEG}°") for n in range(-bins, bins + 1) if n % every == 0],
        "middle": across(0),
        "mean": mean and [None if part is None else across(part) for part in mean],
    }


def turn_words(degrees: float, digits: int = 0) -> str:
    """Return such as "5° towards the rear"; a bare sign would be read either way."""
    size = f"{abs(degrees):.{digits}f}"
    return f"{size}°" if float(size) == 0 else f"{size}° towards the {'rear' if degrees > 0 else 'front'}"


def first_rounds(found: FirstRounds) -> list[dict]:
    """Return the parts of the bar: name, number and place, those that are none left out."""
    parts, x = [], 0.0
    for name, number in (("held", found.held), ("outside", found.outside), ("untold", found.untold)):
        if number:
            width = number / found.total * BAR
            parts.append({"name": name, "number": number, "x": round(x, 1), "width": round(width, 1)})
            x += width
    return parts
