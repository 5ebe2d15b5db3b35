"""How well each cause explains a check reading, given the spreads; and which causes the numbers cannot tell apart.

Plain arithmetic in a stated order, so that the phone's twin agrees. Angles in mdeg as doubles.
"""

import math
from dataclasses import dataclass

from calc.prove.causes import AS_PLANNED, BETWEEN_FACES, Candidate
from calc.prove.wheel_facts import WheelFacts
from calc.rings.fitting_spread import fitting_covariance
from calc.rings.tilt import Placed, effect_mdeg

# A cause explains a reading unless so large a distance would come about less than once in a thousand fittings.
LEAST_EXPLAINS = 0.001
# Causes within this ratio of the best of them are named together.
TOGETHER_RATIO = 0.02
# Rings fitted as planned are the commonest case by far (ours, no source): it counts this many times.
AS_PLANNED_WEIGHT = 4.0
# SD of what something between the faces may do: 1 mm under one edge of a 148 mm ring is 387 mdeg (ours, no source).
BETWEEN_FACES_SD_MDEG = 500.0


@dataclass(frozen=True)
class ReadingSpread:
    """Standard deviations of one wheel, as in choosing: mdeg, degrees of clock, steps between marks."""

    camber_sd: float
    toe_sd: float
    clock_sd_deg: float
    mark_sd_steps: float
    seat_sd: float


@dataclass(frozen=True)
class Explained:
    """One cause with its likeliest candidate: distance (chi-square), the chance of one as large, share of all causes.

    For between-faces the candidate, distance and chance are None: it would explain anything.
    """

    code: str
    candidate: Candidate | None
    distance: float | None
    explains: float | None
    share: float


def fitted_covariance(rings: tuple[Placed, Placed] | None, spread: ReadingSpread) -> tuple[float, float, float]:
    """Return the covariance (camber-camber, camber-toe, toe-toe) of what fitting the rings adds; none without rings."""
    if rings is None:
        return 0.0, 0.0, 0.0
    return fitting_covariance(effect_mdeg(rings), rings, spread.clock_sd_deg, spread.mark_sd_steps, spread.seat_sd)


def change_covariance(candidate: Candidate, spread: ReadingSpread) -> tuple[float, float, float]:
    """Return the covariance of check - base under a candidate: two readings and the fitting between them."""
    cc, ct, tt = fitted_covariance(candidate.rings, spread)
    factor = candidate.toe_factor
    camber, toe = spread.camber_sd * spread.camber_sd, spread.toe_sd * spread.toe_sd
    return cc + 2 * camber, ct * factor, (tt + 2 * toe) * factor * factor


def distance_and_density(miss: tuple[float, float], covariance: tuple[float, float, float]) -> tuple[float, float]:
    """Return the chi-square distance (2 degrees of freedom) of a miss and the logarithm of its normal density."""
    (camber, toe), (cc, ct, tt) = miss, covariance
    determinant = cc * tt - ct * ct
    distance = (tt * camber * camber - 2 * ct * camber * toe + cc * toe * toe) / determinant
    return distance, -0.5 * distance - math.log(2 * math.pi) - 0.5 * math.log(determinant)


def _evidence(candidate: Candidate, facts: WheelFacts, spread: ReadingSpread) -> tuple[float, float, float]:
    """Return (distance, chance of one as large, log density) of a candidate, the other wheel's reading included.

    The other wheel counts only for a cause that says what should be seen there: its distance is added (then 4 degrees
    of freedom), its density as a ratio to the better of fitted as planned there and anything at all.
    """
    observed = (facts.check.camber - facts.base.camber, facts.check.toe - facts.base.toe)
    miss = (observed[0] - candidate.shown[0], observed[1] - candidate.shown[1])
    distance, log_density = distance_and_density(miss, change_covariance(candidate, spread))
    other = facts.other
    if candidate.elsewhere is None or other.base is None or other.check is None:
        return distance, math.exp(-distance / 2), log_density
    seen = (other.check.camber - other.base.camber, other.check.toe - other.base.toe)
    there, as_planned = (_at_other_wheel(seen, placed, spread) for placed in candidate.elsewhere)
    log_density += there[1] - max(as_planned[1], _anything_log_density(seen, candidate.elsewhere[1], spread))
    distance += there[0]
    return distance, math.exp(-distance / 2) * (1 + distance / 2), log_density


def _at_other_wheel(seen, placed: tuple[Placed, Placed], spread: ReadingSpread) -> tuple[float, float]:
    """Return (distance, log density) of the other wheel's change if `placed` sits there."""
    shown = effect_mdeg(placed)
    cc, ct, tt = fitted_covariance(placed, spread)
    camber, toe = spread.camber_sd * spread.camber_sd, spread.toe_sd * spread.toe_sd
    miss = (seen[0] - shown[0], seen[1] - shown[1])
    return distance_and_density(miss, (cc + 2 * camber, ct, tt + 2 * toe))


def _anything_log_density(seen, planned: tuple[Placed, Placed], spread: ReadingSpread) -> float:
    """Return the log density of a change if something of any size may lie between the faces of a planned pair."""
    shown = effect_mdeg(planned)
    cc, ct, tt = fitted_covariance(planned, spread)
    wide = BETWEEN_FACES_SD_MDEG * BETWEEN_FACES_SD_MDEG
    camber, toe = spread.camber_sd * spread.camber_sd, spread.toe_sd * spread.toe_sd
    miss = (seen[0] - shown[0], seen[1] - shown[1])
    return distance_and_density(miss, (cc + 2 * camber + wide, ct, tt + 2 * toe + wide))[1]


def _log_sum(logs: list[float]) -> float:
    """Return log(sum(exp(x))) without overflow."""
    top = max(logs)
    return top + math.log(sum(math.exp(log - top) for log in logs))


def explain(facts: WheelFacts, found: list[Candidate], spread: ReadingSpread) -> list[Explained]:
    """Return the causes, likeliest first (of equals the earlier in `found`), between-faces among them.

    A cause's weight is the mean density of its candidates, so that a cause which could have shown almost anything does
    not win by that. `found` comes from causes.candidates.
    """
    evidence = [(candidate, *_evidence(candidate, facts, spread)) for candidate in found]
    codes = list(dict.fromkeys(candidate.code for candidate in found))
    rows, logs = [], []
    for code in codes:
        own = [row for row in evidence if row[0].code == code]
        best = max(own, key=lambda row: row[3])
        weight = AS_PLANNED_WEIGHT if code == AS_PLANNED else 1.0
        rows.append((code, *best[:3]))
        logs.append(math.log(weight) + _log_sum([row[3] for row in own]) - math.log(len(own)))
    observed = (facts.check.camber - facts.base.camber, facts.check.toe - facts.base.toe)
    rows.append((BETWEEN_FACES, None, None, None))
    logs.append(_anything_log_density(observed, found[0].rings, spread))
    total = _log_sum(logs)
    explained = [Explained(*row, math.exp(log - total)) for row, log in zip(rows, logs, strict=True)]
    return sorted(explained, key=lambda row: -row.share)


def explains_enough(row: Explained) -> bool:
    """Return whether the cause is near enough to the reading to be named at all."""
    return row.explains is None or row.explains >= LEAST_EXPLAINS


def together(explained: list[Explained]) -> list[list[str]]:
    """Return the codes of the causes that may be named, likeliest first, those together that no number tells apart.

    A group is headed by its likeliest cause and takes in all whose share is at least TOGETHER_RATIO of it.
    """
    groups: list[list[str]] = []
    head = math.inf
    for row in filter(explains_enough, explained):
        if groups and row.share >= TOGETHER_RATIO * head:
            groups[-1].append(row.code)
        else:
            groups.append([row.code])
            head = row.share
    return groups
