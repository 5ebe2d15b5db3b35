"""Conversions between what people type and the angles that calc works in.

Typed text is read exactly (as fractions, not floats), so that the phone's reading of the same text can agree to the
last millidegree. Nothing here knows which way an angle is meant: "in" and "out" are the caller's.
"""

import math
import re
from fractions import Fraction

import numpy as np

from calc.numbers.checks import check_choice, check_number, shown
from calc.numbers.constants import READING_LIMIT_MDEG
from calc.numbers.errors import InputError

UNITS = ("deg", "deg-min", "mm", "inch")
MM_PER_INCH = Fraction(254, 10)  # exact by definition (RECALLED: NIST SP 811; pint agrees)
# Of a wheel across which toe is measured: from a kart's rim to the longest toe bars (ours; no source)
DIAMETER_MM_LOW = 100.0
DIAMETER_MM_HIGH = 2000.0

# At most six digits on either side: more is a slip of the finger, and it keeps every quantity small.
_DECIMAL = r"(?:\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})"
_SIGN = r"(?P<sign>[+-]?)\s*"
_FORMS = {
    "deg": re.compile(rf"{_SIGN}(?P<whole>{_DECIMAL})\s*°?", re.ASCII),
    "deg-min": re.compile(
        rf"{_SIGN}(?:(?P<degrees>\d{{1,3}})(?:\s*°\s*|\s+)(?P<minutes>{_DECIMAL})\s*'?"
        rf"|(?P<only_degrees>\d{{1,3}})\s*°|(?P<only_minutes>{_DECIMAL})\s*'|(?P<bare>{_DECIMAL}))",
        re.ASCII,
    ),
    "mm": re.compile(rf"{_SIGN}(?P<whole>{_DECIMAL})\s*(?:mm)?", re.ASCII),
    "inch": re.compile(
        rf"{_SIGN}(?:(?:(?P<mixed>\d{{1,3}})\s+)?(?P<over>\d{{1,4}})\s*/\s*(?P<under>\d{{1,4}})"
        rf'|(?P<whole>{_DECIMAL}))\s*(?:"|in)?',
        re.ASCII,
    ),
}
# What keyboards and copied sheets write for the plain characters: a dash is a minus, a narrow or fixed space a space.
_ALIKE = str.maketrans(
    dict.fromkeys("−‐‑‒–—﹣－", "-") | {"＋": "+", "⁄": "/", "º": "°"} | dict.fromkeys("\u00a0\u2007\u2009\u202f", " ")
    | dict.fromkeys("′’‘´", "'") | dict.fromkeys("″”“", '"')
)  # fmt: skip
_EXPECTED = {
    "deg": "degrees such as 0.33",
    "deg-min": "degrees and minutes such as 0°20' (or 20')",
    "mm": "millimetres such as 2.5",
    "inch": "inches such as 0.06 or 1/16",
}


def radians_from_mdeg(angle_mdeg):
    """Return radians, float64 of the same shape."""
    return np.radians(np.asarray(angle_mdeg, dtype=np.float64) / 1000.0)


def mdeg_from_radians(angle_rad):
    """Return millidegrees, float64 of the same shape, not rounded.

    >>> float(mdeg_from_radians(math.pi / 4))
    45000.0
    """
    return np.degrees(np.asarray(angle_rad, dtype=np.float64)) * 1000.0


def round_half_away(number) -> int:
    """Return the nearest whole number, halves away from zero; exact for a Fraction.

    >>> [round_half_away(x) for x in (0.5, -0.5, 1.4999, -2.5)]
    [1, -1, 1, -3]
    """
    size = math.floor(abs(Fraction(number)) + Fraction(1, 2))
    return size if number >= 0 else -size


def mdeg_from_text(text: str, unit: str, diameter_mm: float | None = None, field: str = "text") -> int:
    """Return the angle that `text` says, in whole mdeg, rounded half away from zero.

    `unit` is one of UNITS. Point and comma are both the decimal mark; a sign, and the unit's own symbol behind the
    number, may stand. A length is the difference across the wheel at `diameter_mm`: length = D sin(angle). As degrees
    and minutes a bare number is taken for minutes where it cannot be degrees, above the limit of a reading, and else
    refused.
    Raises InputError for any other text, for a length without its diameter or longer than it, and beyond
    READING_LIMIT_MDEG.

    >>> mdeg_from_text("0,33", "deg"), mdeg_from_text("0°20'", "deg-min"), mdeg_from_text("1/16", "inch", 381)
    (330, 333, 239)
    """
    check_choice(unit, f"{field}.unit", UNITS)
    quantity = quantity_from_text(text, unit, field)
    if unit in ("mm", "inch"):
        length_mm = quantity * (MM_PER_INCH if unit == "inch" else 1)
        mdeg = round_half_away(_mdeg_from_length(length_mm, diameter_mm, field, text))
    else:
        mdeg = round_half_away(quantity * 1000)
    if abs(mdeg) > READING_LIMIT_MDEG:
        raise InputError(field, f"at most {READING_LIMIT_MDEG // 1000} degrees either way", shown(text))
    return mdeg


def text_from_mdeg(mdeg: int, unit: str, diameter_mm: float | None = None) -> str:
    """Return `mdeg` as text in `unit`, with a point and, where negative, a true minus sign.

    Degrees have two decimals, or three where the third is not 0; minutes are whole; millimetres have two decimals and
    inches three. Rounded half away from zero.

    >>> text_from_mdeg(330, "deg"), text_from_mdeg(-1025, "deg"), text_from_mdeg(1992, "deg-min")
    ('0.33', '−1.025', "2°00'")
    >>> text_from_mdeg(239, "mm", 381.0), text_from_mdeg(239, "inch", 381.0)
    ('1.59', '0.063')
    """
    check_choice(unit, "unit", UNITS)
    if unit == "deg":
        places = 3 if mdeg % 10 else 2
        steps = abs(mdeg) // 10 ** (3 - places)
        unsigned = f"{steps // 10**places}.{steps % 10**places:0{places}d}"
    elif unit == "deg-min":
        steps = round_half_away(Fraction(abs(mdeg) * 60, 1000))
        unsigned = f"{steps // 60}°{steps % 60:02d}'"
    else:
        check_number(diameter_mm, "diameter_mm", DIAMETER_MM_LOW, DIAMETER_MM_HIGH)
        length_mm = abs(diameter_mm * math.sin(math.radians(mdeg / 1000)))
        places = 2 if unit == "mm" else 3
        steps = round_half_away((length_mm if unit == "mm" else length_mm / 25.4) * 10**places)
        unsigned = f"{steps // 10**places}.{steps % 10**places:0{places}d}"
    return "−" + unsigned if mdeg < 0 and steps else unsigned


def minutes_typed(text: str) -> tuple[str | None, str | None]:
    """Return the digits that a text in degrees and minutes was taken for: (degrees, minutes), None where it has none.

    >>> minutes_typed("0 20"), minutes_typed("25.2"), minutes_typed("abc")
    (('0', '20'), (None, '25.2'), (None, None))
    """
    found = _FORMS["deg-min"].fullmatch(text.translate(_ALIKE).strip())
    if not found:
        return None, None
    parts = found.groupdict()
    return parts["degrees"] or parts["only_degrees"], parts["minutes"] or parts["only_minutes"] or parts["bare"]


def quantity_from_text(text, unit: str, field: str) -> Fraction:
    """Return the signed number in `text`, exact: degrees for the two angle units, else in the length unit itself.

    >>> quantity_from_text("1/16", "inch", "step"), quantity_from_text("5'", "deg-min", "step")
    (Fraction(1, 16), Fraction(1, 12))
    """
    found = _FORMS[unit].fullmatch(text.translate(_ALIKE).strip()) if isinstance(text, str) else None
    parts = found.groupdict() if found else {}
    refusal = InputError(field, _EXPECTED[unit], shown(text))
    if not found or (parts.get("under") and int(parts["under"]) == 0):
        raise refusal
    if unit == "deg-min":
        minutes = _decimal(parts["minutes"] or parts["only_minutes"] or parts["bare"])
        if minutes >= 60:
            raise InputError(field, "minutes below 60", shown(text))
        if parts["bare"] and 0 < minutes * 1000 <= READING_LIMIT_MDEG:
            raise InputError(field, "a number with its sign, such as 15' or 1°", shown(text))
        size = _decimal(parts["degrees"] or parts["only_degrees"]) + minutes / 60
    elif parts.get("under"):
        fraction = Fraction(int(parts["over"]), int(parts["under"]))
        if parts["mixed"] and fraction >= 1:
            raise refusal
        size = _decimal(parts["mixed"]) + fraction
    else:
        size = _decimal(parts["whole"])
    return -size if parts["sign"] == "-" else size


def _decimal(digits: str | None) -> Fraction:
    """Return the exact value of matched digits; nothing matched is 0."""
    plain = (digits or "0").replace(",", ".")
    return Fraction("0" + plain if plain.startswith(".") else plain.rstrip("."))


def _mdeg_from_length(length_mm: Fraction, diameter_mm, field: str, text) -> float:
    """Return asin(length / D) in mdeg, not rounded."""
    if diameter_mm is None:
        raise InputError(f"{field}.diameter_mm", "the diameter that the length is measured at", "nothing")
    diameter = check_number(diameter_mm, f"{field}.diameter_mm", DIAMETER_MM_LOW, DIAMETER_MM_HIGH)
    ratio = float(length_mm) / diameter
    if abs(ratio) >= 1:
        raise InputError(field, f"a length below the diameter of {diameter:g} mm", shown(text))
    return math.degrees(math.asin(ratio)) * 1000
