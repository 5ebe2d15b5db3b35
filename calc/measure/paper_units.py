"""The units, signs and rounding of a printed paper, turned into effects in mdeg. It reads text by `units` alone."""

import math
import re
from dataclasses import dataclass

from calc.numbers.checks import check_choice, check_keys, check_number
from calc.numbers.quantities import PARTS, WAYS, sign_of_way
from calc.numbers.units import DIAMETER_MM_HIGH, DIAMETER_MM_LOW, UNITS, mdeg_from_text


@dataclass(frozen=True)
class PaperUnits:
    """How a paper prints angles: unit of camber and of toe, which way is plus, diameter of toe given as a length."""

    camber: str
    toe: str
    camber_sign: int
    toe_sign: int
    diameter_mm: float | None

    def effect(self, camber, toe, field: str) -> complex:
        """Return camber + i toe in mdeg by our signs (top out, toe in: plus)."""
        return complex(
            self.camber_sign * mdeg_from_text(camber, self.camber, self.diameter_mm, f"{field}.camber"),
            self.toe_sign * mdeg_from_text(toe, self.toe, self.diameter_mm, f"{field}.toe"),
        )

    def spread_mdeg(self, texts: list[tuple[str, str]]) -> float:
        """Return the SD of one angle from the paper's own rounding: the wider step / sqrt(12), at least 1 mdeg.

        The step is one unit of the last digit printed anywhere in the column.
        """
        camber_step = self._step_mdeg(self.camber, [camber for camber, _ in texts])
        toe_step = self._step_mdeg(self.toe, [toe for _, toe in texts])
        return max(1.0, max(camber_step, toe_step) / math.sqrt(12))

    def _step_mdeg(self, unit: str, column: list[str]) -> float:
        step = min(map(_last_digit, column))
        if unit in ("deg", "deg-min"):
            return step * 1000 / (60 if unit == "deg-min" else 1)
        length_mm = step * (25.4 if unit == "inch" else 1)
        return math.degrees(math.asin(length_mm / self.diameter_mm)) * 1000


def _last_digit(text: str) -> float:
    """Return the worth of the last digit: 1/16 for a fraction in sixteenths, 0.01 for two decimals, 1 for none."""
    fraction = re.search(r"/\s*(\d+)", text)
    if fraction:
        return 1 / int(fraction[1])
    decimals = re.search(r"[.,](\d*)", text)
    return 10.0 ** -len(decimals[1]) if decimals else 1.0


def paper_units_from_json(obj) -> PaperUnits:
    """Return the units of `{"camber", "toe", "camber_positive", "toe_positive", "diameter_mm"}`.

    `camber_positive`: "top-out" or "top-in"; `toe_positive`: "in" or "out"; the diameter only where toe is a length.
    """
    check_keys(obj, "units", (*PARTS, "camber_positive", "toe_positive"), ("diameter_mm",))
    diameter = obj.get("diameter_mm")
    if diameter is not None:
        check_number(diameter, "units.diameter_mm", DIAMETER_MM_LOW, DIAMETER_MM_HIGH)
    signs = {
        part: sign_of_way(check_choice(obj[f"{part}_positive"], f"units.{part}_positive", WAYS[part])) for part in PARTS
    }
    return PaperUnits(
        camber=check_choice(obj["camber"], "units.camber", ("deg", "deg-min")),
        toe=check_choice(obj["toe"], "units.toe", UNITS),
        camber_sign=signs["camber"],
        toe_sign=signs["toe"],
        diameter_mm=diameter,
    )
