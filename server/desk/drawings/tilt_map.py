"""The tilt map of one wheel as numbers for an SVG: the twin of pwa/js/domain/rings/tilt-map.js, without zoom and names.

Toe across (in to the right), camber up (top out upwards), one scale for both. Readings are (camber, toe) in mdeg;
places are in units of the drawing, y downwards. A test holds both twins together.
"""

import math
from dataclasses import dataclass

import numpy as np

from calc.numbers.quantities import WHEEL_ANGLES

LEFT, TOP, SIZE = 68, 28, 284
SPREAD_SHARE = 0.9  # of what can be expected lies inside the ellipse
_NARROWEST, _WIDEST = 60, 12_000
_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
_LABEL_WIDTH = 74
_DOT_CELL = 2

Reading = tuple[float, float]
Window = list | None


@dataclass(frozen=True)
class View:
    """Middle of the plot and its width, in mdeg."""

    camber: float
    toe: float
    span: float

    def place(self, reading: Reading) -> tuple[float, float]:
        scale = SIZE / self.span
        x, y = (reading[1] - self.toe) * scale, (reading[0] - self.camber) * scale
        return LEFT + SIZE / 2 + x, TOP + SIZE / 2 - y


def view_of_all(base: Reading, windows: dict[str, Window], reach: float, others: list[Reading]) -> View:
    """Return the view that shows the readings, the window and all that is within `reach` of the base."""
    middles, widths = [], []
    for at, quantity in enumerate(WHEEL_ANGLES):
        sizes = [base[at], base[at] - reach, base[at] + reach, *(reading[at] for reading in others)]
        sizes += [edge for edge in windows[quantity] or [] if edge is not None]
        middles.append((max(sizes) + min(sizes)) / 2)
        widths.append(max(sizes) - min(sizes))
    camber, toe = (min(max(middle, -_WIDEST), _WIDEST) for middle in middles)
    return View(camber, toe, min(max(max(widths) * 1.12, _NARROWEST), _WIDEST))


def ticks_between(low: float, high: float, most: int) -> tuple[int, list[int]]:
    """Return (step, round values from low to high), at most `most` of them."""
    step = next((size for size in _STEPS if (high - low) / size < most), _STEPS[-1])
    return step, [n * step for n in range(math.ceil(low / step), math.floor(high / step) + 1)]


def axis_ticks(view: View) -> tuple[list[int], list[int], int]:
    """Return (camber ticks, toe ticks, every how many-th toe tick there is room for words at)."""
    half = view.span / 2
    camber = ticks_between(view.camber - half, view.camber + half, 7)[1]
    step, toe = ticks_between(view.toe - half, view.toe + half, 6)
    return camber, toe, 1 if step * SIZE / view.span >= _LABEL_WIDTH else 2


def window_box(view: View, windows: dict[str, Window]) -> dict | None:
    """Return the window as a box inside the plot, `edges` those of its sides that really lie in view."""
    if not windows["camber"] and not windows["toe"]:
        return None
    toe_low, toe_high = windows["toe"] or (None, None)
    camber_low, camber_high = windows["camber"] or (None, None)
    right, bottom = LEFT + SIZE, TOP + SIZE
    raw = {
        "left": LEFT if toe_low is None else view.place((0, toe_low))[0],
        "right": right if toe_high is None else view.place((0, toe_high))[0],
        "top": TOP if camber_high is None else view.place((camber_high, 0))[1],
        "bottom": bottom if camber_low is None else view.place((camber_low, 0))[1],
    }
    given = {"left": toe_low, "right": toe_high, "top": camber_high, "bottom": camber_low}
    limits = {"left": (LEFT, right), "right": (LEFT, right), "top": (TOP, bottom), "bottom": (TOP, bottom)}
    box = {side: min(max(raw[side], limits[side][0]), limits[side][1]) for side in raw}
    edges = [side for side in raw if given[side] is not None and raw[side] == box[side]]
    size = {"width": box["right"] - box["left"], "height": box["bottom"] - box["top"]}
    return {"x": box["left"], "y": box["top"], **size, "edges": edges}


def dots_path(view: View, base: Reading, camber: np.ndarray, toe: np.ndarray) -> str:
    """Return path data with one zero-length stroke per reachable reading in view; near doubles are drawn once."""
    scale = SIZE / view.span
    x = (base[1] - view.toe + toe) * scale + SIZE / 2
    y = SIZE / 2 - (base[0] - view.camber + camber) * scale
    seen = (x >= 0) & (y >= 0) & (x < SIZE) & (y < SIZE)
    x, y = x[seen], y[seen]
    cells = math.ceil(SIZE / _DOT_CELL)
    cell = (y // _DOT_CELL).astype(int) * cells + (x // _DOT_CELL).astype(int)
    _, first = np.unique(cell, return_index=True)
    first.sort()
    return "".join(f"M{LEFT + x[k]:.1f} {TOP + y[k]:.1f}h0" for k in first)


def spread_ellipse(covariance) -> tuple[float, float, float]:
    """Return (along, across, turn_deg) of the ellipse that holds SPREAD_SHARE of a normal spread: half axes in mdeg,
    the long one turned from the toe axis clockwise as drawn. `covariance` is (2, 2) of (camber, toe), mdeg^2.
    """
    (cc, ct), (_, tt) = covariance
    mean, radius = (cc + tt) / 2, math.hypot((tt - cc) / 2, ct)
    factor = math.sqrt(-2 * math.log(1 - SPREAD_SHARE))  # chi-squared with two degrees of freedom
    along, across = (factor * math.sqrt(max(0, square)) for square in (mean + radius, mean - radius))
    return along, across, math.degrees(-math.atan2(2 * ct, tt - cc) / 2)
