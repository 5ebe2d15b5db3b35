"""The spreads that choosing uses, proposed from the shop's own jobs; a person accepts them. No Flask, no SQL.

Method. One reading's SD: the pooled variance of repeated readings. Seat and clock: the misses of finished fittings
along and across the planned change, as mean squares about zero, less what readings, tapers and marks explain (method of
moments). All lean on the usual value with the weight of PRIOR_READINGS, as the mean of few readings does on the phone,
so few jobs move little. Intervals: 95 %, chi-square (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.8).
What cannot be told apart here, thrust and lining up marks, stays as it is.
"""

import math
from dataclasses import dataclass

from calc.numbers.constants import CAMBER_SD_MDEG, CLOCK_SD_DEG, MARK_SD_STEPS, SEAT_SD_MDEG, TOE_SD_MDEG
from calc.numbers.errors import InputError
from calc.numbers.intervals import mean_interval, sd_interval
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.stats import PRIOR_READINGS
from calc.prove.prove import SDS_TO_SPEAK, change_noise_sd
from server.records.past_fittings import Fitting, PastFittings, ReadingSds

SPREAD = "spread"  # the setting that holds what was accepted
USUAL = {
    "camber_sd": CAMBER_SD_MDEG,
    "toe_sd": TOE_SD_MDEG,
    "seat_sd": SEAT_SD_MDEG,
    "clock_sd_deg": CLOCK_SD_DEG,
}
# What a person may accept: (lowest, highest). Below, readings would decide that no tool can give; above, nothing fits.
LIMITS = {"camber_sd": (5, 500), "toe_sd": (5, 500), "seat_sd": (0, 500), "clock_sd_deg": (0.1, 20)}
FEWEST = 10  # repeats beyond the first, or fittings, below which nothing is proposed (ours; no source)
FEW = 30  # below which it is called a small sample (common practice, no source)


def reading_sds(accepted: dict | None) -> dict[str, float]:
    """Return angle -> the shop's own SD of one reading, of what was accepted; nothing where nobody has."""
    return {angle: (accepted or {})[f"{angle}_sd"] for angle in WHEEL_ANGLES if (accepted or {}).get(f"{angle}_sd")}


@dataclass(frozen=True)
class Proposal:
    """One spread: how many observations, SD found with its 95 % interval, and what is proposed (None: too few)."""

    name: str
    count: int
    found: float | None
    low: float | None
    high: float | None
    proposed: float | None

    @property
    def is_small(self) -> bool:
        return self.count < FEW


def proposals(found: PastFittings) -> list[Proposal]:
    readings = [_of_readings(found, quantity, f"{quantity}_sd") for quantity in WHEEL_ANGLES]
    used = ReadingSds(*(each.proposed or USUAL[each.name] for each in readings))
    seat = _seat(found.fittings, used)
    clock = _clock(found.fittings, used, seat.proposed if seat.proposed is not None else USUAL["seat_sd"])
    return [*readings, seat, clock]


def _of_readings(found: PastFittings, quantity: str, name: str) -> Proposal:
    squares, dof = found.squares[quantity], found.dof[quantity]
    if dof == 0:
        return Proposal(name, 0, None, None, None, None)
    leaning = math.sqrt((PRIOR_READINGS * USUAL[name] ** 2 + squares) / (PRIOR_READINGS + dof))
    return Proposal(name, dof, *sd_interval(squares, dof), _within(name, leaning) if dof >= FEWEST else None)


def _seat(fittings: list[Fitting], used: ReadingSds) -> Proposal:
    """The seat: what is left of the misses along the change."""
    explained = [f.reading_variances(used)[0] + f.ring_variances(MARK_SD_STEPS)[0] for f in fittings]
    squares = math.fsum(f.along**2 for f in fittings)
    return _left_over("seat_sd", squares, math.fsum(explained), [1.0] * len(fittings))


def _clock(fittings: list[Fitting], used: ReadingSds, seat_sd: float) -> Proposal:
    """The clock: what is left of the misses across the change, per degree of turning the whole pair."""
    explained = [f.reading_variances(used)[1] + f.ring_variances(MARK_SD_STEPS)[1] + seat_sd**2 for f in fittings]
    squares = math.fsum(f.across**2 for f in fittings)
    per_deg = [(abs(f.planned) * math.radians(1)) ** 2 for f in fittings]
    return _left_over("clock_sd_deg", squares, math.fsum(explained), per_deg)


def _left_over(name: str, squares: float, explained: float, weights: list[float]) -> Proposal:
    """Return the spread whose square times the weights, with what is explained, makes the squares on average."""
    count, weight = len(weights), math.fsum(weights)
    if not count:
        return Proposal(name, 0, None, None, None, None)
    _, low, high = sd_interval(squares, count)

    def left(mean_square: float) -> float:
        return math.sqrt(max(0.0, mean_square * count - explained) / weight)

    prior = PRIOR_READINGS * weight / count
    leaning = math.sqrt(max(0.0, prior * USUAL[name] ** 2 + squares - explained) / (prior + weight))
    proposed = _within(name, leaning) if count >= FEWEST else None
    return Proposal(name, count, left(squares / count), left(low**2), left(high**2), proposed)


def _within(name: str, value: float) -> float:
    low, high = LIMITS[name]
    return round(min(max(value, low), high), 1 if name == "clock_sd_deg" else 0)


def by_ring_set(fittings: list[Fitting]) -> list[dict]:
    """Return per ring set and revision: how many fittings, and mean size and turn with their 95 % intervals by
    Student's t (same handbook, 1.3.5.2), of those whose planned change is large enough to have any.
    """
    least = SDS_TO_SPEAK * change_noise_sd(CAMBER_SD_MDEG, TOE_SD_MDEG, SEAT_SD_MDEG)
    groups: dict[tuple[str, int], list[Fitting]] = {}
    for fitting in fittings:
        groups.setdefault((fitting.ring_set.id, fitting.ring_set.revision), []).append(fitting)
    rows = []
    for (_, revision), group in sorted(groups.items()):
        speaking = [fitting for fitting in group if abs(fitting.planned) >= least]
        rows.append(
            {
                "name": group[0].ring_set.name,
                "revision": revision,
                "fittings": len(group),
                "speaking": len(speaking),
                "is_small": len(speaking) < FEW,
                "group": group,
                "speaking_group": speaking,
                "size": mean_interval(f.size for f in speaking) if speaking else None,
                "turn": mean_interval(f.turn_deg for f in speaking) if speaking else None,
            }
        )
    return rows


def accepted_from(values: dict[str, float]) -> dict:
    """Return the spreads as they are kept and sent to the phones. Raises InputError."""
    for name, (low, high) in LIMITS.items():
        if not low <= values[name] <= high:
            raise InputError(name, f"{low} to {high}", f"{values[name]:g}")
    return {name: values[name] for name in LIMITS}
