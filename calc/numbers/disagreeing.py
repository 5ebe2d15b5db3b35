"""Which repeated readings of an axle contradict each other, so that their mean would say nothing. It drops none.

Two readings of an angle differ by sqrt(2) SDs of one reading about nothing; beyond three times that they are not two
looks at one thing (99.7 % of a normal distribution are within three SDs).
"""

from itertools import combinations

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES

APART_SDS_SQUARED = 18  # (3 sqrt 2)^2


def disagreeing(readings: dict[str, list[dict]], sds: dict[str, float]) -> list[dict]:
    """Return every two readings of an angle that are further apart than 3 sqrt 2 of the SD of one reading.

    `readings`: side -> `{"n", "camber", "toe"}` of each, in mdeg or None where not read; n is the same on both sides
    for what was read together. `sds`: the SD of one reading of each angle, mdeg. Each finding is `{"side", "angle",
    "between": [n, n], "apart", "looks"}`; `looks` holds "mirrored" where one is the other with the way turned about,
    and "crosswise" where all that was read of both wheels fits with left and right exchanged.

    >>> sides = {"left": [{"n": 1, "camber": 870, "toe": None}, {"n": 2, "camber": -870, "toe": None}], "right": []}
    >>> disagreeing(sides, {"camber": 50, "toe": 30})
    [{'side': 'left', 'angle': 'camber', 'between': [1, 2], 'apart': 1740, 'looks': ['mirrored']}]
    """
    found = []
    for side in SIDES:
        for one, other in combinations(readings[side], 2):
            for angle in WHEEL_ANGLES:
                a, b, sd = one[angle], other[angle], sds[angle]
                if a is None or b is None or _fits(a, b, sd):
                    continue
                is_crosswise = _is_crosswise(readings, one["n"], other["n"], sds)
                looks = ["mirrored"] * _fits(a, -b, sd) + ["crosswise"] * is_crosswise
                between = [one["n"], other["n"]]
                found.append({"side": side, "angle": angle, "between": between, "apart": abs(a - b), "looks": looks})
    return found


def _fits(a: int, b: int, sd: float) -> bool:
    return (a - b) ** 2 <= APART_SDS_SQUARED * sd * sd


def _is_crosswise(readings, n: int, m: int, sds) -> bool:
    """Whether each wheel's reading n is the other wheel's reading m, in every angle that was read at all four."""
    sides = [{reading["n"]: reading for reading in readings[side]} for side in SIDES]
    if any(number not in side for side in sides for number in (n, m)):
        return False
    (left_n, left_m), (right_n, right_m) = ((side[n], side[m]) for side in sides)
    crossed = [(left_n, right_m), (right_n, left_m)]
    whole = [angle for angle in WHEEL_ANGLES if all(each[angle] is not None for pair in crossed for each in pair)]
    return bool(whole) and all(_fits(a[angle], b[angle], sds[angle]) for a, b in crossed for angle in whole)
