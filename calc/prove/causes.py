"""Everything that may lie behind a check reading: each cause as the change that it would have shown.

Codes are stable; their words come from the phone's text files. Must not weigh anything: explain.py does that.

- as-planned: the rings sit as planned
- faces-reversed: both rings with the marked face the wrong way, so that toe is reversed
- one-ring-turned-over: one ring the wrong way round
- pair-turned-on-bolts: the pair turned to another fitting of the bolt pattern, where it is known only of that one
- top-taken-hanging: the top marked with the suspension hanging; on a trailing arm the rings then sit towards the FRONT
- pair-off-clock: the whole pair turned by up to three marks, either way
- marks-off: one ring up to three marks off
- digits-mistaken: one ring at a mark whose digits were swapped, read upside down, or 6 and 9 mistaken
- marks-exchanged: the inner ring at the outer ring's mark and the other way round; only where the rings are unlike
- left-right-exchanged: the other wheel's rings fitted here
- other-set: another ring set's rings fitted at the same marks
- toe-sign-mistaken, toe-unit-mistaken: one or both toe readings with the wrong sign or in the wrong unit
- old-rings-at-base: the base reading taken with other rings still in
- nothing-fitted: nothing of it was fitted
- thin-dirt: a film, a crumb or a burr of 0.1 to 0.5 mm between the faces at one clock
- between-faces: none of these; something lies between the faces (its prediction is whatever was seen)
"""

import math
from dataclasses import dataclass

from calc.numbers.rounding import to_decimals
from calc.prove.toe_slips import ToeSlip, toe_slips
from calc.prove.wheel_facts import Reading, WheelFacts
from calc.rings.bolt_pattern import pattern_turns
from calc.rings.rings import Ring, RingSet
from calc.rings.tilt import MDEG_PER_RAD, Placed, effect_mdeg, placed_pair, placed_ring, turned, turned_over

AS_PLANNED = "as-planned"
BETWEEN_FACES = "between-faces"
THIN_DIRT = "thin-dirt"
MARKS_OFF = (-3, -2, -1, 1, 2, 3)  # beyond this, two marks are not mistaken for one another by eye
# Where nobody measured it: how far an arm may turn between hanging and ride height (common practice, no source).
DROOPS_DEG = (4.0, 8.0, 12.0, 16.0, 20.0, 24.0)
DROOP_SHARES = (0.8, 1.0, 1.2)  # a given droop is taken by eye, so a fifth either way
PAIR_MARKS_OFF = (-3, -2, -1, 1, 2, 3)
# Where nobody measured the bolts, the pattern may be one of three, four or five (common practice, no source).
USUAL_TURNS_DEG = (72.0, 90.0, 120.0, 144.0, 180.0, 216.0, 240.0, 270.0, 288.0)
# What lies between the faces reaches from its place to where they touch, half a diameter or a whole one: dirt of 0.1 to
# 0.5 mm tilts like this much (mm) across a whole one. At so many clocks; and the SD of a tilt between two of these.
DIRT_MM = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
DIRT_CLOCKS = 24
DIRT_APART_MDEG = 25.0
DIGITS_UPSIDE_DOWN = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


@dataclass(frozen=True)
class Candidate:
    """One way in which a cause may have happened.

    `shown` is the (camber, toe) change that it would have shown, mdeg. `rings` are those really fitted (None: none).
    `toe_factor` multiplies the spread of toe; `base` and `check` are the true readings under this cause.
    `elsewhere` is what sits at the other wheel under this cause, and what was planned there, where that can be said.
    `loose_sd` is how far it may be off `shown` of itself, mdeg; `weight` how much it counts in its cause.
    """

    code: str
    detail: dict
    shown: tuple[float, float]
    rings: tuple[Placed, Placed] | None
    base: tuple[float, float]
    check: tuple[float, float]
    toe_factor: float = 1.0
    elsewhere: tuple[tuple[Placed, Placed], tuple[Placed, Placed]] | None = None
    loose_sd: float = 0.0
    weight: float = 1.0


def candidates(facts: WheelFacts) -> list[Candidate]:
    """Return every candidate of every cause but between-faces, causes in the order of the list above."""
    return [
        _fitted(AS_PLANNED, {}, facts, placed_pair(facts.ring_set, facts.pair)),
        *_turned_over(facts),
        *_turned_on_bolts(facts),
        *_top_taken_hanging(facts),
        *_pair_off_clock(facts),
        *_other_marks(facts),
        *_marks_exchanged(facts),
        *_other_rings(facts),
        *(_misread(slip, facts) for slip in toe_slips(facts.toe_units)),
        *_old_rings(facts),
        Candidate("nothing-fitted", {}, (0.0, 0.0), None, _pair_of(facts.base), _pair_of(facts.check)),
        *_thin_dirt(facts),
    ]


def _pair_of(reading: Reading) -> tuple[float, float]:
    return float(reading.camber), float(reading.toe)


def _fitted(code: str, detail: dict, facts: WheelFacts, rings, elsewhere=None) -> Candidate:
    """Return a candidate whose readings are right and whose rings are `rings`."""
    base, check = _pair_of(facts.base), _pair_of(facts.check)
    return Candidate(code, detail, effect_mdeg(rings), rings, base, check, elsewhere=elsewhere)


def _both_over(rings: tuple[Placed, Placed]) -> tuple[Placed, Placed]:
    return turned_over(rings[0]), turned_over(rings[1])


def _turned_over(facts: WheelFacts) -> list[Candidate]:
    inner, outer = placed_pair(facts.ring_set, facts.pair)
    return [
        _fitted("faces-reversed", {}, facts, _both_over((inner, outer))),
        _fitted("one-ring-turned-over", {"ring": "inner"}, facts, (turned_over(inner), outer)),
        _fitted("one-ring-turned-over", {"ring": "outer"}, facts, (inner, turned_over(outer))),
    ]


def _turned_on_bolts(facts: WheelFacts) -> list[Candidate]:
    planned = placed_pair(facts.ring_set, facts.pair)
    return [
        _fitted("pair-turned-on-bolts", {"turn_deg": turn}, facts, turned(planned, math.radians(turn)))
        for turn in (pattern_turns(list(facts.bolts)) if facts.bolts else USUAL_TURNS_DEG)
    ]


def _top_taken_hanging(facts: WheelFacts) -> list[Candidate]:
    droops = DROOPS_DEG if facts.droop_deg is None else [share * facts.droop_deg for share in DROOP_SHARES]
    planned = placed_pair(facts.ring_set, facts.pair)
    return [
        _fitted("top-taken-hanging", {"turn_deg": -droop}, facts, turned(planned, -math.radians(droop)))
        for droop in droops
        if droop > 0
    ]


def _pair_off_clock(facts: WheelFacts) -> list[Candidate]:
    planned = placed_pair(facts.ring_set, facts.pair)
    found = []
    for marks in PAIR_MARKS_OFF:
        turn_deg = marks * 360 / facts.ring_set.inner.marks
        rings = turned(planned, math.radians(turn_deg))
        found.append(_fitted("pair-off-clock", {"turn_deg": to_decimals(turn_deg, 1)}, facts, rings))
    return found


def _marks_exchanged(facts: WheelFacts) -> list[Candidate]:
    other = (facts.pair[1], facts.pair[0])
    if facts.ring_set.inner == facts.ring_set.outer or other == facts.pair or not _has_pair(facts.ring_set, other):
        return []
    return [_fitted("marks-exchanged", {}, facts, placed_pair(facts.ring_set, other))]


def _thin_dirt(facts: WheelFacts) -> list[Candidate]:
    rings = placed_pair(facts.ring_set, facts.pair)
    (camber, toe), diameter_mm = effect_mdeg(rings), smaller_diameter_mm(facts.ring_set)
    base, check = _pair_of(facts.base), _pair_of(facts.check)
    found = []
    for thick_mm in DIRT_MM:
        tilt_mdeg = math.atan(thick_mm / diameter_mm) * MDEG_PER_RAD
        for clock in range(DIRT_CLOCKS):
            clock_deg = clock * 360 / DIRT_CLOCKS
            clock_rad = math.radians(clock_deg)
            shown = (camber + tilt_mdeg * math.cos(clock_rad), toe + tilt_mdeg * math.sin(clock_rad))
            detail = {"clock_deg": clock_deg}
            found.append(Candidate(THIN_DIRT, detail, shown, rings, base, check, loose_sd=DIRT_APART_MDEG))
    return found


def smaller_diameter_mm(ring_set: RingSet) -> float:
    """Return the diameter over which both rings lie on each other."""
    return min(ring_set.inner.outer_diameter_mm, ring_set.outer.outer_diameter_mm)


def _other_marks(facts: WheelFacts) -> list[Candidate]:
    """Return the candidates of marks-off, then of digits-mistaken: each moves one ring alone."""
    inner, outer = placed_pair(facts.ring_set, facts.pair)
    found = []
    for code, marks_of in (("marks-off", neighbouring_marks), ("digits-mistaken", mistaken_marks)):
        for mark in marks_of(facts.pair[0], facts.ring_set.inner):
            rings = (placed_ring(facts.ring_set.inner, mark), outer)
            found.append(_fitted(code, {"ring": "inner", "mark": mark}, facts, rings))
        for mark in marks_of(facts.pair[1], facts.ring_set.outer):
            rings = (inner, placed_ring(facts.ring_set.outer, mark))
            found.append(_fitted(code, {"ring": "outer", "mark": mark}, facts, rings))
    return found


def neighbouring_marks(mark: int, ring: Ring) -> list[int]:
    """Return the marks one to three away, counted round, without the mark itself."""
    near = []
    for off in MARKS_OFF:
        other = (mark + off - ring.first_mark) % ring.marks + ring.first_mark
        if other != mark and other not in near:
            near.append(other)
    return near


def mistaken_marks(mark: int, ring: Ring) -> list[int]:
    """Return the ring's marks that `mark` may be read as, rising: digits swapped, 6 for 9, or upside down.

    >>> mistaken_marks(16, Ring(99, 1, "clockwise", "inboard", 550, 8, 1.0, 2.4, 148.0, 62.0))
    [19, 61, 91]
    """
    digits = str(mark)
    readings = {digits[::-1]}
    for k, digit in enumerate(digits):
        if digit in "69":
            readings.add(digits[:k] + DIGITS_UPSIDE_DOWN[digit] + digits[k + 1 :])
    if all(digit in DIGITS_UPSIDE_DOWN for digit in digits):
        readings.add("".join(DIGITS_UPSIDE_DOWN[digit] for digit in reversed(digits)))
    numbers = {int(reading) for reading in readings if reading[0] != "0" or len(reading) == 1} - {mark}
    return sorted(number for number in numbers if ring.first_mark <= number < ring.first_mark + ring.marks)


def _has_pair(ring_set: RingSet, pair: tuple[int, int]) -> bool:
    rings = (ring_set.inner, ring_set.outer)
    return all(ring.first_mark <= mark < ring.first_mark + ring.marks for ring, mark in zip(rings, pair, strict=True))


def _other_rings(facts: WheelFacts) -> list[Candidate]:
    """Return the candidates of left-right-exchanged, then of other-set."""
    if facts.other is None:
        return []
    found = []
    if facts.other.fitting:
        theirs, ours = placed_pair(*facts.other.fitting), placed_pair(facts.ring_set, facts.pair)
        for faces, place in (("right", tuple), ("reversed", _both_over)):
            elsewhere = (place(ours), theirs)
            found.append(_fitted("left-right-exchanged", {"faces": faces}, facts, place(theirs), elsewhere))
    for ring_set in facts.other.ring_sets:
        if ring_set != facts.ring_set and _has_pair(ring_set, facts.pair):
            found.append(_fitted("other-set", {"ring_set": ring_set.id}, facts, placed_pair(ring_set, facts.pair)))
    return found


def _misread(slip: ToeSlip, facts: WheelFacts) -> Candidate:
    """Return the candidate in which toe was misread by a slip."""
    rings = placed_pair(facts.ring_set, facts.pair)
    camber, toe = effect_mdeg(rings)
    factor = slip.factor
    true_base = facts.base.toe / factor if slip.in_base else float(facts.base.toe)
    expected_check = (true_base + toe) * (factor if slip.in_check else 1.0)
    return Candidate(
        slip.code,
        slip.detail,
        (camber, expected_check - facts.base.toe),
        rings,
        (float(facts.base.camber), true_base),
        (float(facts.check.camber), facts.check.toe / factor if slip.in_check else float(facts.check.toe)),
        toe_factor=factor if slip.in_check else 1.0,
        weight=slip.weight,
    )


def _old_rings(facts: WheelFacts) -> list[Candidate]:
    if facts.other is None or facts.other.old_rings is None:
        return []
    rings = placed_pair(facts.ring_set, facts.pair)
    (camber, toe), (old_camber, old_toe) = effect_mdeg(rings), effect_mdeg(placed_pair(*facts.other.old_rings))
    base = (facts.base.camber - old_camber, facts.base.toe - old_toe)
    shown = (camber - old_camber, toe - old_toe)
    return [Candidate("old-rings-at-base", {}, shown, rings, base, _pair_of(facts.check))]
