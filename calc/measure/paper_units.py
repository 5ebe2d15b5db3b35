"""The units, signs and steps of a printed paper, turned into effects in mdeg. It reads text by `units` alone."""

import math
from dataclasses import dataclass
from fractions import Fraction

from calc.measure.printed_steps import step_of
from calc.numbers.checks import check_choice, check_keys, check_number, shown
from calc.numbers.errors import InputError
from calc.numbers.quantities import SIGN_WORDS, WHEEL_ANGLES, sign_of_word
from calc.numbers.units import (
    DIAMETER_MM_HIGH,
    DIAMETER_MM_LOW,
    UNITS,
    mdeg_from_text,
    quantity_from_text,
)

LEAST_SD_MDEG = 1.0  # however finely a paper is printed, no ring is made more exactly (ours, no source)
_UNITS_OF = {"camber": ("deg", "deg-min"), "toe": UNITS}
_STEPS_SUCH_AS = {"deg": "0.05", "deg-min": "5'", "mm": "0.5", "inch": "1/16"}


@dataclass(frozen=True)
class PaperUnits:
    """How a paper prints angles, by "camber" and "toe": `unit`, `sign` of plus by our signs, `told_step` or None.

    `diameter_mm` is that of toe given as a length.
    """

    unit: dict[str, str]
    sign: dict[str, int]
    told_step: dict[str, Fraction | None]
    diameter_mm: float | None

    def effects(self, rows: list[dict]) -> list[complex]:
        """Return camber + i toe of each row in mdeg by our signs (top out, toe in: plus). Raises InputError."""
        columns = [
            [self._mdeg(part, row[part], f"rows[{k}].{part}") for k, row in enumerate(rows)] for part in WHEEL_ANGLES
        ]
        return [complex(camber, toe) for camber, toe in zip(*columns, strict=True)]

    def _mdeg(self, part: str, text, field: str) -> int:
        return self.sign[part] * mdeg_from_text(text, self.unit[part], self.diameter_mm, field)

    def values(self, part: str, rows: list[dict]) -> list[Fraction]:
        """Return a column's exact values in its unit."""
        return [quantity_from_text(row[part], self.unit[part], f"rows[{k}].{part}") for k, row in enumerate(rows)]

    def steps(self, rows: list[dict]) -> dict[str, Fraction]:
        """Return per angle the step it is printed in, in its unit: as told, else from the column's values."""
        return {part: self.told_step[part] or self._step_of(part, rows) for part in WHEEL_ANGLES}

    def _step_of(self, part: str, rows: list[dict]) -> Fraction:
        texts = [row[part] for row in rows]
        return step_of(texts, self.values(part, rows), in_minutes=self.unit[part] == "deg-min")

    def step_mdeg(self, part: str, step: Fraction) -> float:
        """Return a step in mdeg, about zero."""
        unit = self.unit[part]
        if unit in ("deg", "deg-min"):
            return float(step * 1000)
        return math.degrees(math.asin(float(step) * (25.4 if unit == "inch" else 1) / self.diameter_mm)) * 1000

    def sds_mdeg(self, steps: dict[str, Fraction]) -> tuple[float, float]:
        """Return the SDs of camber and toe from the paper's own rounding: step / sqrt(12), at least LEAST_SD_MDEG."""
        return tuple(max(LEAST_SD_MDEG, self.step_mdeg(part, steps[part]) / math.sqrt(12)) for part in WHEEL_ANGLES)


def paper_units_from_json(obj) -> PaperUnits:
    """Return the units of `{"camber", "toe", "camber_positive", "toe_positive"}`, `diameter_mm` and `..._step` or not.

    `camber_positive`: "top-out" or "top-in"; `toe_positive`: "in" or "out"; the diameter only where toe is a length;
    steps as text in the column's unit, where the person knows them ("0.05", "5'", "1/16"), else null or left out.
    """
    steps = {part: f"{part}_step" for part in WHEEL_ANGLES}
    check_keys(obj, "units", (*WHEEL_ANGLES, "camber_positive", "toe_positive"), ("diameter_mm", *steps.values()))
    diameter = obj.get("diameter_mm")
    if diameter is not None:
        check_number(diameter, "units.diameter_mm", DIAMETER_MM_LOW, DIAMETER_MM_HIGH)
    unit = {part: check_choice(obj[part], f"units.{part}", _UNITS_OF[part]) for part in WHEEL_ANGLES}
    words = {
        part: check_choice(obj[f"{part}_positive"], f"units.{part}_positive", SIGN_WORDS[part]) for part in WHEEL_ANGLES
    }
    return PaperUnits(
        unit=unit,
        sign={part: sign_of_word(word) for part, word in words.items()},
        told_step={part: _step(obj.get(key), unit[part], diameter, f"units.{key}") for part, key in steps.items()},
        diameter_mm=diameter,
    )


def _step(text, unit: str, diameter_mm: float | None, field: str) -> Fraction | None:
    """Return a step that a person told, exact in the column's unit; it must come to a whole mdeg or more."""
    if text is None:
        return None
    if mdeg_from_text(text, unit, diameter_mm, field) < 1:
        raise InputError(field, f"a step above zero, such as {_STEPS_SUCH_AS[unit]}", shown(text))
    return quantity_from_text(text, unit, field)
