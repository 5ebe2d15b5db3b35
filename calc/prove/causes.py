"""Everything that may lie behind a check reading: each cause as the change that it would have shown.

Codes are stable; their words come from the phone's text files. Must not weigh anything: explain.py does that.

- as-planned: the rings sit as planned
- faces-reversed: both rings with the marked face the wrong way, so that toe is reversed
- one-ring-turned-over: one ring the wrong way round
- pair-turned-on-bolts: the pair turned to another fitting of the bolt pattern
- top-taken-hanging: the top marked with the suspension hanging; on a trailing arm the rings then sit towards the FRONT
- marks-off: one ring up to three marks off
- digits-mistaken: one ring at a mark whose digits were swapped, read upside down, or 6 and 9 mistaken
- left-right-exchanged: the other wheel's rings fitted here
- other-set: another ring set's rings fitted at the same marks
- toe-sign-mistaken, toe-unit-mistaken: one or both toe readings with the wrong sign or in the wrong unit
- old-rings-at-base: the base reading taken with other rings still in
- nothing-fitted: nothing of it was fitted
- between-faces: none of these; something lies between the faces (its prediction is whatever was seen)
"""

import math
from dataclasses import dataclass

from calc.prove.wheel_facts import Reading, WheelFacts
from calc.rings.bolt_pattern import pattern_turns
from calc.rings.rings import Ring, RingSet
from calc.rings.tilt import Placed, effect_mdeg, placed_pair, placed_ring, turned, turned_over

AS_PLANNED, BETWEEN_FACES = "as-planned", "between-faces"
MARKS_OFF = (-3, -2, -1, 1, 2, 3)  # beyond this, two marks are not mistaken for one another by eye
# Where nobody measured it: how far an arm may turn between hanging and ride height (common practice, no source).
DROOPS_DEG = (4.0, 8.0, 12.0, 16.0, 20.0, 24.0)
DROOP_SHARES = (0.8, 1.0, 1.2)  # a given droop is taken by eye, so a fifth either way
# Toe recorded / toe meant: minutes as hundredths of a degree and back; total toe as one wheel's and back; millimetres
# as degrees and back, at a diameter of 400 mm, where 1 mm is 0.143 degrees.
UNIT_FACTORS = {
    "hundredths-read-as-minutes": 100 / 60,
    "minutes-read-as-hundredths": 60 / 100,
    "total-for-one-wheel": 2.0,
    "one-wheel-for-total": 0.5,
    "millimetres-for-degrees": 1 / 0.1432,
    "degrees-for-millimetres": 0.1432,
}
READINGS = ("base", "check", "both")
_UPSIDE_DOWN = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


@dataclass(frozen=True)
class Candidate:
    """One way in which a cause may have happened.

    `shown` is the (camber, toe) change that it would have shown, mdeg. `rings` are those really fitted (None: none).
    `toe_factor` multiplies the spread of toe; `base` and `check` are the true readings under this cause.
    `elsewhere` is what sits at the other wheel under this cause, and what was planned there, where that can be said.
    """

    code: str
    detail: dict
    shown: tuple[float, float]
    rings: tuple[Placed, Placed] | None
    base: tuple[float, float]
    check: tuple[float, float]
    toe_factor: float = 1.0
    elsewhere: tuple[tuple[Placed, Placed], tuple[Placed, Placed]] | None = None


def candidates(facts: WheelFacts) -> list[Candidate]:
    """Return every candidate of every cause but between-faces, causes in the order of the list above."""
    return [
        _fitted(AS_PLANNED, {}, facts, placed_pair(facts.ring_set, facts.pair)),
        *_turned_over(facts),
        *_turned_on_bolts(facts),
        *_top_taken_hanging(facts),
        *_other_marks(facts),
        *_other_rings(facts),
        *_toe_mistaken(facts),
        *_old_rings(facts),
        Candidate("nothing-fitted", {}, (0.0, 0.0), None, _pair_of(facts.base), _pair_of(facts.check)),
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
        for turn in pattern_turns(list(facts.bolts))
    ]


def _top_taken_hanging(facts: WheelFacts) -> list[Candidate]:
    droops = DROOPS_DEG if facts.droop_deg is None else [share * facts.droop_deg for share in DROOP_SHARES]
    planned = placed_pair(facts.ring_set, facts.pair)
    return [
        _fitted("top-taken-hanging", {"turn_deg": -droop}, facts, turned(planned, -math.radians(droop)))
        for droop in droops
        if droop > 0
    ]


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
            readings.add(digits[:k] + _UPSIDE_DOWN[digit] + digits[k + 1 :])
    if all(digit in _UPSIDE_DOWN for digit in digits):
        readings.add("".join(_UPSIDE_DOWN[digit] for digit in reversed(digits)))
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


def _toe_mistaken(facts: WheelFacts) -> list[Candidate]:
    """Return the candidates of toe-sign-mistaken, then of toe-unit-mistaken."""
    found = []
    for reading in READINGS:
        found.append(_misread("toe-sign-mistaken", {"reading": reading}, facts, reading, -1.0))
    for slip, factor in UNIT_FACTORS.items():
        for reading in READINGS:
            detail = {"reading": reading, "slip": slip}
            found.append(_misread("toe-unit-mistaken", detail, facts, reading, factor))
    return found


def _misread(code: str, detail: dict, facts: WheelFacts, reading: str, factor: float) -> Candidate:
    """Return the candidate in which the recorded toe of a reading is `factor` times the true one."""
    rings = placed_pair(facts.ring_set, facts.pair)
    camber, toe = effect_mdeg(rings)
    in_base, in_check = reading != "check", reading != "base"
    true_base = facts.base.toe / factor if in_base else float(facts.base.toe)
    expected_check = (true_base + toe) * (factor if in_check else 1.0)
    return Candidate(
        code,
        detail,
        (camber, expected_check - facts.base.toe),
        rings,
        (float(facts.base.camber), true_base),
        (float(facts.check.camber), facts.check.toe / factor if in_check else float(facts.check.toe)),
        toe_factor=factor if in_check else 1.0,
    )


def _old_rings(facts: WheelFacts) -> list[Candidate]:
    if facts.other is None or facts.other.old_rings is None:
        return []
    rings = placed_pair(facts.ring_set, facts.pair)
    (camber, toe), (old_camber, old_toe) = effect_mdeg(rings), effect_mdeg(placed_pair(*facts.other.old_rings))
    base = (facts.base.camber - old_camber, facts.base.toe - old_toe)
    shown = (camber - old_camber, toe - old_toe)
    return [Candidate("old-rings-at-base", {}, shown, rings, base, _pair_of(facts.check))]
