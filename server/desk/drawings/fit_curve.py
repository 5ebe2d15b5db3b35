"""How well a measurement of rings fits, as numbers for SVG drawings: thickness round the rim, or misses of the rows.

It draws what calc found and finds nothing itself. Places are in units of the drawing, y downwards.
"""

import math

from calc.numbers.sides import RINGS

LEFT, RIGHT, TOP, BOTTOM = 66, 556, 16, 216
GAP_TOP, GAP_BOTTOM = 246, 326  # the strip of what is left over
WIDTH, HEIGHT = 572, 366
_POINTS = 121


def curves_of(asked: dict, report: dict | None) -> list[dict]:
    """Return the drawings of a measurement: one per ring for thickness, one for the rows of a paper.

    There are none where calc could not work it out.
    """
    if report is None:
        return []
    if asked["from"] == "paper":
        return [_rows_drawing(report["rows"])]
    return [_ring_drawing(name, asked[name], report["rings"][name]) for name in RINGS]


def _ring_drawing(name: str, ring: dict, report: dict) -> dict:
    """Readings by mark, the fitted wave, and below it how far each reading is off the wave."""
    fit = report["fit_without"] or report["fit"]
    first, marks = ring["first_mark"], ring["marks"]
    amplitude = math.tan(math.radians(fit["taper_mdeg"] / 1000)) * ring["radius_mm"]
    peak = fit["thick_mark"] or first

    def wave(mark: float) -> float:
        return fit["mean_thickness_mm"] + amplitude * math.cos(2 * math.pi * (mark - peak) / marks)

    readings = [((mark - first) % marks + first, thickness) for mark, thickness in ring["readings"]]
    low = min([thickness for _, thickness in readings] + [fit["mean_thickness_mm"] - amplitude])
    high = max([thickness for _, thickness in readings] + [fit["mean_thickness_mm"] + amplitude])
    most = max(abs(thickness - wave(mark)) for mark, thickness in readings) or 0.001
    x = lambda mark: LEFT + (mark - first) / marks * (RIGHT - LEFT)  # noqa: E731
    y = lambda mm: BOTTOM - (mm - low) / (high - low or 0.001) * (BOTTOM - TOP)  # noqa: E731
    off = lambda mm: (GAP_TOP + GAP_BOTTOM) / 2 - mm / most * (GAP_BOTTOM - GAP_TOP) / 2  # noqa: E731
    odd = report["outlier"]
    steps = [first + marks * n / (_POINTS - 1) for n in range(_POINTS)]
    return {
        "kind": "ring",
        "name": name,
        "odd": f"{odd['mark']:g}" if odd else "",
        "curve": " ".join(f"{x(mark):.1f},{y(wave(mark)):.1f}" for mark in steps),
        "points": [
            {
                "x": round(x(mark), 1),
                "y": round(y(thickness), 1),
                "off_y": round(off(thickness - wave(mark)), 1),
                "odd": odd is not None and typed[0] == odd["mark"] and typed[1] == odd["thickness_mm"],
            }
            for (mark, thickness), typed in zip(readings, ring["readings"], strict=True)
        ],
        "x_ticks": [(round(x(mark), 1), f"{mark:g}") for mark in _round_ticks(first, first + marks)],
        "y_ticks": [(round(y(mm), 1), f"{mm:.2f}") for mm in _thickness_ticks(low, high)],
        "most_off": f"{most:.3f}" if most >= 0.01 else f"{most:.4f}",
    }


def _rows_drawing(rows: list[dict]) -> dict:
    """How far each row of the paper is off, camber and toe, in degrees; a row that does not fit is marked."""
    most = max(max(abs(row["camber_off"]), abs(row["toe_off"])) for row in rows) or 1.0
    middle, half = (TOP + BOTTOM) / 2, (BOTTOM - TOP) / 2
    step = (RIGHT - LEFT) / len(rows)
    return {
        "kind": "rows",
        "points": [
            {
                "x": round(LEFT + step * (at + 0.5), 1),
                "camber_y": round(middle - row["camber_off"] / most * half, 1),
                "toe_y": round(middle - row["toe_off"] / most * half, 1),
                "odd": not row["fits"],
                "label": str(at + 1),
            }
            for at, row in enumerate(rows)
        ],
        "odd": [
            f"row {at}, {row['pair'][0]} meets {row['pair'][1]}" for at, row in enumerate(rows, 1) if not row["fits"]
        ],
        "middle": middle,
        "most_off": f"{most / 1000:.3f}",
        "every": -(-len(rows) // 24),
    }


def _round_ticks(low: float, high: float) -> list[float]:
    step = next(size for size in (1, 2, 5, 10, 20, 50, 100) if (high - low) / size <= 12)
    return [n * step for n in range(math.ceil(low / step), math.floor(high / step) + 1)]


def _thickness_ticks(low: float, high: float) -> list[float]:
    wide = max(high - low, 0.01)
    step = next(size for size in (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 50) if wide / size <= 6)
    return [n * step for n in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]
