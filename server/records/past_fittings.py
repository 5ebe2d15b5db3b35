"""What the shop's own finished jobs say of its work: predicted against observed, and how far readings scatter.

It looks at readings and plans alone and never at who did them. Whole mdeg; camber and toe are put together as one
complex number, camber + i toe, so that size and turn of a change are its length and direction. No Flask, no SQL.
"""

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.rings.fitting_spread import fitting_covariance
from calc.rings.rings import RingSet
from calc.rings.tilt import effect_mdeg, placed_pair
from server.records.job_numbers import AXLE_WINDOWS, JobNumbers

# What is read of a job: its readings, plans, and whether it was signed; and which readings somebody has struck.
KINDS = ("reading-taken", "plan-chosen", "job-signed", "job-stopped", "job-reopened")
STRUCK = '"struck.'


GATHERED = 1  # raised whenever what is gathered of a job changes: then all is gathered again


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
    return past_fittings(map(gathered_of, folds), ring_sets)


def gathered_of(fold: dict) -> dict:
    """Return what one job gives, as JSON that can be kept, whichever ring sets the shop has.

    {"version"} and, where it is signed, {"first_round": how it went, or null, "squares": quantity -> number, "dof":
    quantity -> int, "fittings": [{"table", "pair", "observed": [camber, toe], "counts": quantity -> [base, check]}]}
    """
    if fold["state"] != "signed":
        return {"version": GATHERED}
    numbers = JobNumbers(fold)
    squares, dof = dict.fromkeys(WHEEL_ANGLES, 0.0), dict.fromkeys(WHEEL_ANGLES, 0)
    for prefix in ["base", *(f"round.{number}.check" for number in numbers.rounds)]:
        for side, quantity in itertools.product(SIDES, WHEEL_ANGLES):
            sizes = numbers.readings(prefix, side, quantity)
            if len(sizes) > 1:
                mean = math.fsum(sizes) / len(sizes)
                squares[quantity] += math.fsum((size - mean) ** 2 for size in sizes)
                dof[quantity] += len(sizes) - 1
    fittings = [fitted for side in SIDES if (fitted := _fitted(numbers, side))]
    return {
        "version": GATHERED, "first_round": _first_round(numbers), "squares": squares, "dof": dof, "fittings": fittings
    }  # fmt: skip


def _first_round(numbers: JobNumbers) -> str | None:
    """Hold the check of round 1 against the windows that its plan was made for; a plan without rings is no round.

    Returns a name of FirstRounds' numbers.
    """
    body = numbers.plan_body(1)
    if body is None or not any(body["plan"][side] for side in SIDES):
        return None
    windows, means = _windows_of(body), numbers.means("round.1.check")
    if not windows or any(means.get(key) is None for key in [*windows, *((side, "toe") for side in SIDES)]):
        return "untold"
    return "held" if all(_is_inside(means[key], edges) for key, edges in windows.items()) else "outside"


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


def _fitted(numbers: JobNumbers, side: str) -> dict | None:
    """Return what stayed in at the end, against the base reading without rings; None where something is missing.

    A pair that was taken out again in a later round does not count: a person has judged it wrong.
    """
    for number in reversed(numbers.rounds):
        body = numbers.plan_body(number)
        fitted = body and body["plan"][side]
        if fitted:
            return _change(numbers, side, number, body, fitted)
    return None


def _change(numbers: JobNumbers, side: str, number: int, body: dict, fitted: dict) -> dict | None:
    tables = body.get("tables")
    table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
    read = {q: [numbers.readings(p, side, q) for p in ("base", f"round.{number}.check")] for q in WHEEL_ANGLES}
    if not isinstance(table, str) or not all(sizes for pair in read.values() for sizes in pair):
        return None
    observed = [math.fsum(check) / len(check) - math.fsum(base) / len(base) for base, check in read.values()]
    counts = {q: [len(base), len(check)] for q, (base, check) in read.items()}
    return {"table": table, "pair": list(fitted["pair"]), "observed": observed, "counts": counts}


def past_fittings(gathered: Iterable[dict], ring_sets: dict[str, dict]) -> PastFittings:
    """Put together what jobs gave. `ring_sets`: table name -> ring set JSON; a fitting of another one is left out."""
    found, known, planned = PastFittings(), {}, {}
    for given in gathered:
        if "fittings" not in given:
            continue
        found.jobs += 1
        if name := given["first_round"]:
            setattr(found.first_rounds, name, getattr(found.first_rounds, name) + 1)
        for quantity in WHEEL_ANGLES:
            found.squares[quantity] += given["squares"][quantity]
            found.dof[quantity] += given["dof"][quantity]
        for each in given["fittings"]:
            table, pair = each["table"], tuple(each["pair"])
            if table not in ring_sets:
                continue
            if table not in known:
                known[table] = RingSet.from_json(ring_sets[table])
            if (table, pair) not in planned:
                planned[table, pair] = complex(*effect_mdeg(placed_pair(known[table], pair)))
            if planned[table, pair]:
                counts = {quantity: tuple(numbers) for quantity, numbers in each["counts"].items()}
                found.fittings.append(
                    Fitting(known[table], pair, planned[table, pair], complex(*each["observed"]), counts)
                )
    return found
