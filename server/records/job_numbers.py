"""What the fold of a job says in numbers: windows, means of readings, plans, predictions and the axle. Whole mdeg.

Where two people differ there is no number: nothing is worked out on a value that somebody must first settle. Readings
that somebody has struck do not count; those that contradict each other have no mean while the job is not signed. No
Flask, no SQL, no words.
"""

from fractions import Fraction

from calc.numbers.constants import CAMBER_SD_MDEG, TOE_SD_MDEG
from calc.numbers.disagreeing import disagreeing
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.numbers.units import round_half_away

AXLE_WINDOWS = {"total_toe": "total-toe", "thrust": "thrust", "cross_camber": "cross-camber"}

USUAL_SDS = {"camber": CAMBER_SD_MDEG, "toe": TOE_SD_MDEG}  # of one reading, mdeg

Key = tuple[str, str] | str  # ("left", "camber"), or "total_toe" of the axle


class JobNumbers:
    """The numbers of one folded job. `sds`: the shop's own SDs of one reading, mdeg, where it has any."""

    def __init__(self, fold: dict, sds: dict[str, float] | None = None):
        self._slots, self._conflicts = fold["slots"], set(fold["conflicts"])
        self._is_signed, self._sds = fold["state"] == "signed", USUAL_SDS | (sds or {})

    @property
    def rounds(self) -> list[int]:
        """Every round that has a plan or a reading or a step, from 1; in round 0 old rings only came out."""
        numbers = {slot.split(".")[1] for slot in self._slots if slot.startswith("round.")}
        written = [int(number) for number in numbers if number.isascii() and number.isdigit() and len(number) < 4]
        return sorted(number for number in written if number > 0)

    def only(self, slot: str, kind: str) -> dict | None:
        """The one live entry of a slot, or None where there is none or people differ."""
        live = self._slots.get(slot, [])
        agreed = live and slot not in self._conflicts and live[0]["kind"] == kind
        return live[0] if agreed else None

    def field(self, slot: str):
        """The value of a field, or None."""
        given = self.only(slot, "field-set")
        return given and given["body"]["value"]

    def window(self, key: Key) -> list[int | None] | None:
        """Return [low, high], an edge that is open as None, or None where none is given."""
        slot = f"window.{key[0]}.{key[1]}" if isinstance(key, tuple) else f"window.{AXLE_WINDOWS[key]}"
        edges = self.field(slot)
        try:
            window = [edges[edge] and edges[edge]["mdeg"] for edge in ("low", "high")]
        except (TypeError, KeyError):
            return None
        return None if window == [None, None] else window

    def readings(self, prefix: str, side: str, quantity: str) -> list[int]:
        """Every reading of one angle that nobody disputes or has struck, by their numbers."""
        return [each[quantity] for each in self._readings(prefix, side) if each[quantity] is not None]

    def _readings(self, prefix: str, side: str) -> list[dict]:
        """Return `{"n", "camber", "toe"}` of a wheel's readings, as pwa/js/domain/job/readings.js does."""
        start = f"{prefix}.{side}."
        numbers = [slot.removeprefix(start) for slot in self._slots if slot.startswith(start)]
        numbered = sorted((n for n in numbers if n.isascii() and n.isdigit()), key=lambda n: (len(n), n))
        kept = [n for n in numbered if not self.field(f"struck.{start}{n}")]
        read = [(n, entry["body"]) for n in kept if (entry := self.only(start + n, "reading-taken"))]
        return [
            {"n": int(n)} | {angle: body[angle] and body[angle]["mdeg"] for angle in WHEEL_ANGLES} for n, body in read
        ]

    def means(self, prefix: str) -> dict[Key, float | None]:
        """Means of the readings per angle, None where there is none, and what they make of the axle."""
        readings = {side: self._readings(prefix, side) for side in SIDES}
        apart = [] if self._is_signed else disagreeing(readings, self._sds)
        silent = {(each["side"], each["angle"]) for each in apart}
        keys = [(side, quantity) for side in SIDES for quantity in WHEEL_ANGLES]
        means = {key: None if key in silent else self._mean(prefix, *key) for key in keys}
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
        known = {(side, part): predicted[side][at] for side in SIDES for at, part in enumerate(WHEEL_ANGLES)}
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
