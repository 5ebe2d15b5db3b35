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
TOGETHER_RATIO = 0.03
# Rings fitted as planned are the commonest case; rust, paint or a burr under the hub is the commonest fault (common
# practice, no source): each counts this many times. More would call a slip fitted as planned with a confidence that the
# numbers do not carry (tests/bench/bench_prove.py).
AS_PLANNED_WEIGHT = 3.0
BETWEEN_FACES_WEIGHT = 2.0
# A cause that would have shown no more than this from the planned change never stands above fitted as planned: no
# number tells the two apart (ours, no source).
NEAR_PLAN_SDS = 2.0
# From this share on a cause is called most likely: at most two are (ours, no source).
MOST_LIKELY_SHARE = 0.4
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

    For between-faces the candidate, distance and chance are None: it would explain anything. `near_plan`: what it would
    have shown lies within NEAR_PLAN_SDS of the planned change.
    """

    code: str
    candidate: Candidate | None
    distance: float | None
    explains: float | None
    near_plan: bool
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
    loose = candidate.loose_sd * candidate.loose_sd
    return cc + 2 * camber + loose, ct * factor, (tt + 2 * toe + loose) * factor * factor


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

    A cause counts by the mean density of its candidates, so that one which could have shown almost anything does not
    win by that; one that is near the plan counts no more than fitted as planned, which comes first in `found`, as
    causes.candidates gives it.
    """
    evidence = [(candidate, *_evidence(candidate, facts, spread)) for candidate in found]
    codes = list(dict.fromkeys(candidate.code for candidate in found))
    rows, logs = [], []
    for code in codes:
        own = [row for row in evidence if row[0].code == code]
        best = max(own, key=lambda row: row[3])
        log = _log_sum([row[3] + math.log(row[0].weight) for row in own]) - math.log(sum(row[0].weight for row in own))
        near_plan = code != AS_PLANNED and _is_near_plan(best[0], found[0], spread)
        if code == AS_PLANNED:
            log += math.log(AS_PLANNED_WEIGHT)
        rows.append((code, *best[:3], near_plan))
        logs.append(min(log, logs[0]) if near_plan else log)
    observed = (facts.check.camber - facts.base.camber, facts.check.toe - facts.base.toe)
    rows.append((BETWEEN_FACES, None, None, None, False))
    logs.append(math.log(BETWEEN_FACES_WEIGHT) + _anything_log_density(observed, found[0].rings, spread))
    total = _log_sum(logs)
    explained = [Explained(*row, share=math.exp(log - total)) for row, log in zip(rows, logs, strict=True)]
    return sorted(explained, key=lambda row: -row.share)


def _is_near_plan(candidate: Candidate, planned: Candidate, spread: ReadingSpread) -> bool:
    miss = (candidate.shown[0] - planned.shown[0], candidate.shown[1] - planned.shown[1])
    distance, _ = distance_and_density(miss, change_covariance(planned, spread))
    return distance <= NEAR_PLAN_SDS * NEAR_PLAN_SDS


def named(explained: list[Explained]) -> list[Explained]:
    """Return the causes near enough to the reading to be named at all, in their order.

    Fitted as planned is named with every cause that no number tells from it.
    """
    is_near = any(row.near_plan and _explains_enough(row) for row in explained)
    return [row for row in explained if _explains_enough(row) or (is_near and row.code == AS_PLANNED)]


def _explains_enough(row: Explained) -> bool:
    return row.explains is None or row.explains >= LEAST_EXPLAINS


def likelihood(row: Explained, first_group: list[str]) -> str:
    """Return "most-likely", "possible" or "unlikely": how a cause is called before anybody asks for its numbers.

    Possible are those that the numbers cannot tell from the likeliest; most likely is one of them with a large share of
    all causes. That is said of the causes weighed here alone; what no number can name is never ruled out by it.
    """
    if row.code not in first_group:
        return "unlikely"
    return "most-likely" if row.share >= MOST_LIKELY_SHARE else "possible"


def together(explained: list[Explained]) -> list[list[str]]:
    """Return the codes of the causes that may be named, likeliest first, those together that no number tells apart.

    A group is headed by its likeliest cause and takes in all whose share is at least TOGETHER_RATIO of it.
    """
    groups: list[list[str]] = []
    head = math.inf
    for row in named(explained):
        if groups and row.share >= TOGETHER_RATIO * head:
            groups[-1].append(row.code)
        else:
            groups.append([row.code])
            head = row.share
    return groups
