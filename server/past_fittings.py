"""What the shop's own finished jobs say of its work: predicted against observed, and how far readings scatter.

It looks at readings and plans alone and never at who did them. Whole mdeg; camber and toe are put together as one
complex number, camber + i toe, so that size and turn of a change are its length and direction. No Flask, no SQL.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.rings.fitting_spread import fitting_covariance
from calc.rings.rings import RingSet
from calc.rings.tilt import effect_mdeg, placed_pair
from server.job_numbers import AXLE_WINDOWS, JobNumbers

# What is read of a job: its readings, plans, and whether it was signed; and which readings somebody has struck.
KINDS = ("reading-taken", "plan-chosen", "job-signed", "job-stopped", "job-reopened")
STRUCK = '"struck.'


@dataclass(frozen=True)
class Fitting:
    """One wheel of a finished job: the pair that stayed in, what it was to do and what it did.

    `counts`: quantity -> (base readings, check readings).
    """

    ring_set: RingSet
    pair: tuple[int, int]
    planned: complex
    observed: complex
    counts: dict[str, tuple[int, int]]

    @property
    def along(self) -> float:
        """The miss along the planned change: too much is plus."""
        return self._miss.real

    @property
    def across(self) -> float:
        """The miss across it, towards the rear plus."""
        return self._miss.imag

    @property
    def _miss(self) -> complex:
        return (self.observed - self.planned) * self._unit.conjugate()

    @property
    def _unit(self) -> complex:
        return self.planned / abs(self.planned)

    @property
    def size(self) -> float:
        return abs(self.observed) / abs(self.planned)

    @property
    def turn_deg(self) -> float:
        """From planned to observed, more than -180 and at most 180 degrees, towards the rear plus."""
        turned = self.observed * self.planned.conjugate()
        return math.degrees(math.atan2(turned.imag, turned.real))

    def reading_variances(self, spread: "ReadingSds") -> tuple[float, float]:
        """Return the variance that readings alone give the miss (along, across), mdeg^2."""
        camber, toe = (
            sd**2 * sum(1 / count for count in self.counts[quantity])
            for quantity, sd in zip(WHEEL_ANGLES, (spread.camber_sd, spread.toe_sd), strict=True)
        )
        cc, tt = self._unit.real**2, self._unit.imag**2
        return cc * camber + tt * toe, tt * camber + cc * toe

    def ring_variances(self, mark_sd_steps: float) -> tuple[float, float]:
        """Return the variance that tapers and lining up the marks give the miss (along, across), mdeg^2."""
        planned, rings = (self.planned.real, self.planned.imag), placed_pair(self.ring_set, self.pair)
        cc, ct, tt = fitting_covariance(planned, rings, clock_sd_deg=0.0, mark_sd_steps=mark_sd_steps, seat_sd=0.0)
        x, y = self._unit.real, self._unit.imag
        return x * x * cc + 2 * x * y * ct + y * y * tt, y * y * cc - 2 * x * y * ct + x * x * tt


@dataclass(frozen=True)
class ReadingSds:
    """Standard deviations of one reading, mdeg."""

    camber_sd: float
    toe_sd: float


@dataclass
class FirstRounds:
    """How the first rounds with rings went: every window held at their check, or not, or it cannot be told."""

    held: int = 0
    outside: int = 0
    untold: int = 0

    @property
    def told(self) -> int:
        return self.held + self.outside

    @property
    def total(self) -> int:
        return self.told + self.untold


@dataclass
class PastFittings:
    """What finished jobs give: fittings, and of repeated readings the squared deviations with their number."""

    jobs: int = 0
    first_rounds: FirstRounds = field(default_factory=FirstRounds)
    fittings: list[Fitting] = field(default_factory=list)
    squares: dict[str, float] = field(default_factory=lambda: dict.fromkeys(WHEEL_ANGLES, 0.0))
    dof: dict[str, int] = field(default_factory=lambda: dict.fromkeys(WHEEL_ANGLES, 0))


def past_fittings_of(folds: Iterable[dict], ring_sets: dict[str, dict]) -> PastFittings:
    """Gather what folded jobs give; those not signed give nothing. `ring_sets`: table name -> ring set JSON."""
    found = PastFittings()
    for fold in folds:
        if fold["state"] != "signed":
            continue
        found.jobs += 1
        numbers = JobNumbers(fold)
        prefixes = ["base", *(f"round.{number}.check" for number in numbers.rounds)]
        for prefix in prefixes:
            _add_repeats(found, numbers, prefix)
        _add_first_round(found.first_rounds, numbers)
        found.fittings += [each for side in SIDES if (each := _fitting_of(numbers, side, ring_sets))]
    return found


def _add_first_round(found: FirstRounds, numbers: JobNumbers) -> None:
    """Hold the check of round 1 against the windows that its plan was made for; a plan without rings is no round."""
    body = numbers.plan_body(1)
    if body is None or not any(body["plan"][side] for side in SIDES):
        return
    windows, means = _windows_of(body), numbers.means("round.1.check")
    if not windows or any(means.get(key) is None for key in [*windows, *((side, "toe") for side in SIDES)]):
        found.untold += 1
    elif all(_is_inside(means[key], edges) for key, edges in windows.items()):
        found.held += 1
    else:
        found.outside += 1


def _windows_of(body: dict) -> dict:
    """Return angle -> [low, high] of every window that the plan's own record has; nothing of another program's."""
    try:
        asked = body["input"]
        windows = {(side, part): asked["windows"][side][part] for side in SIDES for part in WHEEL_ANGLES}
        windows |= {name: asked["axle"][name] for name in AXLE_WINDOWS}
    except (KeyError, TypeError):
        return {}
    return {key: edges for key, edges in windows.items() if isinstance(edges, list) and len(edges) == 2}


def _is_inside(mdeg: float, edges: list) -> bool:
    low, high = edges
    return (not isinstance(low, int | float) or mdeg >= low) and (not isinstance(high, int | float) or mdeg <= high)


def _add_repeats(found: PastFittings, numbers: JobNumbers, prefix: str) -> None:
    for side in SIDES:
        for quantity in WHEEL_ANGLES:
            sizes = numbers.readings(prefix, side, quantity)
            if len(sizes) > 1:
                mean = math.fsum(sizes) / len(sizes)
                found.squares[quantity] += math.fsum((size - mean) ** 2 for size in sizes)
                found.dof[quantity] += len(sizes) - 1


def _fitting_of(numbers: JobNumbers, side: str, ring_sets: dict[str, dict]) -> Fitting | None:
    """Return what stayed in at the end, against the base reading without rings; None where something is missing.

    A pair that was taken out again in a later round does not count: a person has judged it wrong.
    """
    for number in reversed(numbers.rounds):
        body = numbers.plan_body(number)
        fitted = body and body["plan"][side]
        if fitted:
            return _fitting(numbers, side, number, body, fitted, ring_sets)
    return None


def _fitting(numbers: JobNumbers, side: str, number: int, body: dict, fitted: dict, ring_sets: dict) -> Fitting | None:
    tables = body.get("tables")
    table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
    ring_set_json = ring_sets.get(table) if isinstance(table, str) else None
    read = {q: [numbers.readings(p, side, q) for p in ("base", f"round.{number}.check")] for q in WHEEL_ANGLES}
    if ring_set_json is None or not all(sizes for pair in read.values() for sizes in pair):
        return None
    ring_set = RingSet.from_json(ring_set_json)
    inner, outer = fitted["pair"]
    planned = complex(*effect_mdeg(placed_pair(ring_set, (inner, outer))))
    change = {q: math.fsum(check) / len(check) - math.fsum(base) / len(base) for q, (base, check) in read.items()}
    if not planned:
        return None
    counts = {q: (len(base), len(check)) for q, (base, check) in read.items()}
    return Fitting(ring_set, (inner, outer), planned, complex(change["camber"], change["toe"]), counts)
