"""What the fold of a job says in numbers: windows, means of readings, plans, predictions and the axle. Whole mdeg.

Where two people differ there is no number: nothing is worked out on a value that somebody must first settle. No Flask,
no SQL, no words.
"""

from fractions import Fraction

from calc.numbers.quantities import PARTS
from calc.numbers.sides import SIDES
from calc.numbers.units import round_half_away

AXLE_WINDOWS = {"total_toe": "total-toe", "thrust": "thrust", "cross_camber": "cross-camber"}

Key = tuple[str, str] | str  # ("left", "camber"), or "total_toe" of the axle


class Figures:
    """The numbers of one folded job."""

    def __init__(self, fold: dict):
        self._slots, self._conflicts = fold["slots"], set(fold["conflicts"])

    @property
    def rounds(self) -> list[int]:
        """Every round that has a plan or a reading or a step, from 1."""
        numbers = {slot.split(".")[1] for slot in self._slots if slot.startswith("round.")}
        return sorted(int(number) for number in numbers if number.isascii() and number.isdigit() and len(number) < 4)

    def only(self, slot: str, kind: str) -> dict | None:
        """The one live entry of a slot, or None where there is none or people differ."""
        live = self._slots.get(slot, [])
        agreed = live and slot not in self._conflicts and live[0]["kind"] == kind
        return live[0] if agreed else None

    def field(self, slot: str):
        """The value of a field, or None."""
        given = self.only(slot, "field-set")
        return given and given["body"]["value"]

    def window(self, key: Key) -> list[int] | None:
        slot = f"window.{key[0]}.{key[1]}" if isinstance(key, tuple) else f"window.{AXLE_WINDOWS[key]}"
        edges = self.field(slot)
        try:
            return [edges["low"]["mdeg"], edges["high"]["mdeg"]]
        except (TypeError, KeyError):
            return None

    def readings(self, prefix: str, side: str, quantity: str) -> list[int]:
        """Every reading of one angle that nobody disputes, by their numbers, as pwa/js/domain/job/readings.js does."""
        start = f"{prefix}.{side}."
        numbers = [slot.removeprefix(start) for slot in self._slots if slot.startswith(start)]
        numbered = sorted((n for n in numbers if n.isascii() and n.isdigit()), key=lambda n: (len(n), n))
        read = [self.only(start + number, "reading-taken") for number in numbered]
        return [entry["body"][quantity]["mdeg"] for entry in read if entry and entry["body"][quantity]]

    def means(self, prefix: str) -> dict[Key, float | None]:
        """Means of the readings per angle, None where there is none, and what they make of the axle."""
        means = {(side, quantity): self._mean(prefix, side, quantity) for side in SIDES for quantity in PARTS}
        return means | axle({key: mean for key, mean in means.items() if mean is not None})

    def _mean(self, prefix: str, side: str, quantity: str) -> int | None:
        sizes = self.readings(prefix, side, quantity)
        return round_half_away(Fraction(sum(sizes), len(sizes))) if sizes else None

    def plan_body(self, number: int) -> dict | None:
        chosen = self.only(f"round.{number}.plan", "plan-chosen")
        return chosen and chosen["body"]

    def predicted(self, number: int) -> dict[Key, float]:
        body = self.plan_body(number)
        if body is None:
            return {}
        predicted = body["plan"]["predicted"]
        known = {(side, part): predicted[side][at] for side in SIDES for at, part in enumerate(PARTS)}
        return known | axle(known)


def axle(known: dict) -> dict:
    """What both wheels make of the axle, as far as both are known."""
    found = {}
    if {("left", "toe"), ("right", "toe")} <= known.keys():
        left, right = known["left", "toe"], known["right", "toe"]
        found |= {"total_toe": left + right, "thrust": (left - right) / 2}
    if {("left", "camber"), ("right", "camber")} <= known.keys():
        found["cross_camber"] = known["left", "camber"] - known["right", "camber"]
    return found
