"""A ring's data from thickness readings round its rim, and what may be trusted of it.

Must not repair readings: one that does not fit is named, and the ring is not trusted until it is measured again.
"""

import math

import numpy as np

from calc.numbers.checks import check_integer, check_keys, check_list, check_number
from calc.numbers.errors import InputError
from calc.numbers.rounding import to_decimals
from calc.numbers.sinusoid import Wave, fit_wave, name_outlier
from calc.rings.rings import MARKS_HIGH, MARKS_LOW, Ring

# When a ring may be trusted for choosing. Ours, no source: all together cost less than one reading's own noise.
FEWEST_READINGS = 6
WIDEST_GAP_DEG = 120.0
MOST_SCATTER_MM = 0.02
MOST_TAPER_SE_MDEG = 15.0
MOST_MARK_SE_STEPS = 0.5
TOOL_SD_MM = 0.005  # a micrometer in careful hands (common practice, no source)

_SHAPE = ("marks", "first_mark", "direction", "marked_face_right", "outer_diameter_mm", "bore_diameter_mm")


def ring_from_readings(obj, field: str) -> dict:
    """Return the report of one ring.

    `obj`: the ring's shape (keys of a ring but tapers, thick mark and thickness), `radius_mm` where the tool touched,
    `readings` [[mark, thickness_mm], ...], at least 4, marks any real number counted round, and `tool_sd_mm` (may be
    left out). Returns `fit` (all readings), `outlier` {mark, thickness_mm, off_mm} or null, `fit_without` (the outlier)
    or null, `ring` (the ring's JSON from the better fit, null where there is none) and `reasons`, codes of what keeps
    it from being trusted. Raises InputError.
    """
    check_keys(obj, field, (*_SHAPE, "radius_mm", "readings"), ("tool_sd_mm",))
    marks = check_integer(obj["marks"], f"{field}.marks", MARKS_LOW, MARKS_HIGH)
    first = check_integer(obj["first_mark"], f"{field}.first_mark", 0, 999)
    radius_mm = check_number(obj["radius_mm"], f"{field}.radius_mm", 5, 500)
    tool_mm = check_number(obj.get("tool_sd_mm", TOOL_SD_MM), f"{field}.tool_sd_mm", 0.0001, 1)
    at, thick_mm = _readings(obj["readings"], f"{field}.readings")
    angle_rad = 2 * math.pi * ((at - first) / marks % 1.0)
    wave = fit_wave(angle_rad, thick_mm, tool_mm)
    if wave is None:
        raise InputError(f"{field}.readings", "readings at three or more marks spread round the rim", "too few places")
    odd = name_outlier(wave)
    kept = np.ones(len(at), dtype=bool)
    if odd is not None:
        kept[odd] = False
    better = wave if odd is None else fit_wave(angle_rad[kept], thick_mm[kept], tool_mm) or wave
    best, gap_deg = _fit_json(better, marks, first, radius_mm), _widest_gap_deg(angle_rad[kept])
    ring, problem = _ring(obj, better, best, field)
    return {
        "fit": _fit_json(wave, marks, first, radius_mm),
        "widest_gap_deg": to_decimals(gap_deg, 1),
        "outlier": None if odd is None else _outlier_json(at, thick_mm, better, angle_rad, odd),
        "fit_without": None if odd is None else best,
        "ring": ring,
        "reasons": _reasons(best, gap_deg, odd, int(kept.sum())) + ([problem] if problem else []),
    }


def _readings(value, field: str) -> tuple[np.ndarray, np.ndarray]:
    rows = check_list(value, field, 4, 500)
    pairs = [check_list(row, f"{field}[{k}]", 2, 2) for k, row in enumerate(rows)]
    at = [check_number(mark, f"{field}[{k}][0]", -1e6, 1e6) for k, (mark, _) in enumerate(pairs)]
    thick_mm = [check_number(thickness, f"{field}[{k}][1]", 0.05, 100) for k, (_, thickness) in enumerate(pairs)]
    return np.array(at), np.array(thick_mm)


def _fit_json(wave: Wave, marks: int, first: int, radius_mm: float) -> dict:
    """Return the wave in a ring's terms: taper = atan(amplitude / radius), thick mark = where the wave peaks."""
    slope = wave.amplitude / radius_mm
    mark = (wave.peak_rad / (2 * math.pi) * marks) % marks
    mark_se = None if wave.peak_se_rad is None else wave.peak_se_rad / (2 * math.pi) * marks
    taper_se_rad = wave.amplitude_se / radius_mm / (1 + slope * slope)
    return {
        "taper_mdeg": to_decimals(math.degrees(math.atan(slope)) * 1000, 1),
        "taper_se_mdeg": to_decimals(math.degrees(taper_se_rad) * 1000, 1),
        "thick_mark": None if mark_se is None else to_decimals(mark + first, 2),
        "thick_mark_se": None if mark_se is None else to_decimals(mark_se, 2),
        "mean_thickness_mm": to_decimals(wave.mean, 4),
        "mean_thickness_se_mm": to_decimals(wave.mean_se, 4),
        "residual_sd_mm": to_decimals(wave.linear.residual_sd, 4),
    }


def _widest_gap_deg(angle_rad: np.ndarray) -> float:
    """Return the widest stretch of the rim without a reading."""
    degrees = np.sort(np.degrees(angle_rad))
    return float(np.max(np.diff(degrees, append=degrees[0] + 360)))


def _outlier_json(at, thick_mm, wave: Wave, angle_rad, odd: int) -> dict:
    """Return the reading that does not fit, and how far it is off what the others say."""
    off_mm = float(thick_mm[odd]) - wave.at(float(angle_rad[odd]))
    return {"mark": float(at[odd]), "thickness_mm": float(thick_mm[odd]), "off_mm": to_decimals(off_mm, 3)}


def _reasons(fit: dict, gap_deg: float, odd: int | None, count: int) -> list[str]:
    return [
        code
        for code, applies in {
            "reading-does-not-fit": odd is not None,
            "few-readings": count < FEWEST_READINGS,
            "wide-gap": gap_deg > WIDEST_GAP_DEG,
            "readings-scatter": fit["residual_sd_mm"] > MOST_SCATTER_MM,
            "taper-uncertain": fit["taper_se_mdeg"] > MOST_TAPER_SE_MDEG,
            "thick-mark-uncertain": fit["thick_mark_se"] is None or fit["thick_mark_se"] > MOST_MARK_SE_STEPS,
        }.items()
        if applies
    ]


def _ring(obj: dict, wave: Wave, fit: dict, field: str) -> tuple[dict | None, str | None]:
    """Return (ring JSON, None), or (None, code) where no such ring can be."""
    if fit["thick_mark"] is None:
        return None, "no-taper"
    return ring_or_problem(
        {key: obj[key] for key in _SHAPE},
        fit["taper_mdeg"],
        fit["taper_se_mdeg"],
        fit["thick_mark"],
        wave.mean,
        field,
    )


def ring_or_problem(shape: dict, taper_mdeg: float, taper_se_mdeg: float, thick_mark: float, centre_mm: float, field):
    """Return (ring JSON, None), or (None, "no-taper" or "no-such-ring"). A wrong shape raises InputError as typed."""
    _check_shape(shape, field)
    taper = math.floor(taper_mdeg + 0.5)
    if taper < 1:
        return None, "no-taper"
    measured = {
        "taper_mdeg": taper,
        "taper_sd_mdeg": max(1, math.ceil(taper_se_mdeg)),
        "thick_mark": thick_mark,
        "centre_thickness_mm": to_decimals(centre_mm, 3),
    }
    try:
        return Ring.from_json({**shape, **measured}, field).to_json(), None
    except InputError:
        return None, "no-such-ring"


def _check_shape(shape: dict, field: str) -> None:
    """Raise InputError for what was typed, by trying it with a hair-thin taper that any solid can have."""
    usual = {"taper_mdeg": 1, "taper_sd_mdeg": 1, "thick_mark": 1.0, "centre_thickness_mm": 20.0}
    Ring.from_json({**shape, **usual}, field)
