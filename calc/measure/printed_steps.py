"""In which steps a column of a paper is printed: told by a person, or worked out from the column's values.

Makers print in steps of 0.05 degrees or of 5 minutes with as many digits as steps of 0.01 or 1 need, so the last digit
says little. Must not find a step where few values agree on it by chance.
"""

import math
import re
from fractions import Fraction

STEP_CHANCE = 0.01  # a step that all values would share by chance this often is not believed
# A coarser step that nearly all values share, those off it being slips: by how much coarser, how rare a chance, and how
# many values in one that is off. 0.05 and 0.25 degrees in hundredths, 3 minutes for 0.05 degrees.
COARSER = (125, 100, 50, 30, 25, 20, 15, 12, 10, 6, 5, 4, 3, 2)
COARSER_CHANCE = 0.0005
MOST_OFF = 4


def step_of(texts: list[str], values: list[Fraction], *, in_minutes: bool = False) -> Fraction:
    """Return the step that a column is printed in, in the column's unit, from its texts and their exact values.

    Degrees that are printed as minutes have minutes for their smallest unit, or a decimal of them. The step is the
    largest that all values share, where they would not by chance; a coarser one where all but a few do.

    >>> texts = ["0.35", "−0.50", "0.05", "1.10", "0.85"]
    >>> step_of(texts, [Fraction(35, 100), Fraction(-1, 2), Fraction(1, 20), Fraction(11, 10), Fraction(85, 100)])
    Fraction(1, 20)
    """
    unit = min(map(_last_digit, texts)) / (60 if in_minutes else 1)
    wanted = [value for value in values if value]
    if any(value % unit for value in wanted):  # decimals among sixteenths: what goes into all of them
        unit = _shared(wanted)
    times = _shared(wanted) / unit if wanted else Fraction(1)
    if times > 1 and float(times) ** -len(wanted) < STEP_CHANCE:
        unit *= times
    counts = [value / unit for value in wanted]
    return next((unit * times for times in COARSER if _nearly_all_share(counts, times)), unit)


def _shared(values: list[Fraction]) -> Fraction:
    """Return the largest number of which all values are multiples."""
    return Fraction(math.gcd(*(v.numerator for v in values)), math.lcm(*(v.denominator for v in values)))


def off_step(column: list[Fraction], step: Fraction) -> list[bool]:
    """Return for each value whether it is no multiple of the step."""
    return [bool(value % step) for value in column]


def _last_digit(text: str) -> Fraction:
    """Return the worth of the last digit: 1/16 for a fraction in sixteenths, 0.01 for two decimals, 1 for none."""
    fraction = re.search(r"[/⁄]\s*(\d+)", text)
    if fraction:
        return Fraction(1, int(fraction[1]))
    decimals = re.search(r"[.,](\d*)", text)
    return Fraction(1, 10 ** len(decimals[1])) if decimals else Fraction(1)


def _nearly_all_share(counts: list[Fraction], times: int) -> bool:
    """Return whether values that are not zero, counted in a smaller step, share one so many times as coarse."""
    off = sum(bool(count % times) for count in counts)
    if not counts or off * MOST_OFF > len(counts):
        return False
    return math.comb(len(counts), off) * float(times) ** (off - len(counts)) < COARSER_CHANCE
