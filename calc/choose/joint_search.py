"""The best joint result of two wheels, out of all pairs of their candidates: exact, ties included, and quick.

Structure. Each wheel's distinct effects (effect_index.py) stand in a tree of boxes in (camber, toe). A pair of boxes,
one of each wheel, has a lower bound of its key (grade, distance, left rank, right rank): the grade from convex bounds
of how far outside toe and camber are (outside.py), the distance as the sum of each wheel's own, the ranks as the least
in the boxes. A pair of boxes whose bound is not below the best result so far cannot hold a better one and is dropped;
the ranks in the key make ties part of the same rule. What is left is split: both boxes in two, four new pairs. Two
points are a pair of boxes whose bound is its value.

The walk is depth first in batches, the best batch always first, so a good result is found early. The answer does not
depend on the order of the walk.
"""

from dataclasses import dataclass

import numpy as np

from calc.choose.choose_input import Request
from calc.choose.effect_index import Level
from calc.choose.outside import camber_terms, grade_of, outside, toe_terms
from calc.choose.wheel_aim import aims_of, distance_of

TOE_FIRST, CAMBER_FIRST = "toe-first", "camber-first"  # whose steps count before the other's

_BATCH = 512  # pairs of boxes split at a time: enough to keep numpy busy, few enough to find good results early
_FIELDS = ("camber_low", "camber_high", "toe_low", "toe_high")


@dataclass(frozen=True)
class Found:
    """The key of a joint result: its grade (outside.py), distance and the ranks of its two effects."""

    grade: int
    distance: float
    left_rank: int
    right_rank: int

    def at_any_distance(self) -> "Found":
        """Return a bound that every result of this grade or a better one is below."""
        return Found(self.grade, np.inf, 0, 0)


NOTHING = Found(np.iinfo(np.int64).max, np.inf, 0, 0)


@dataclass(frozen=True)
class _Frontier:
    """Pairs of boxes at one depth with the bounds of their keys; every array is (pairs,)."""

    depth: int
    left: np.ndarray
    right: np.ndarray
    grade: np.ndarray
    distance: np.ndarray
    left_rank: np.ndarray
    right_rank: np.ndarray

    def take(self, chosen) -> "_Frontier":
        columns = (self.left, self.right, self.grade, self.distance, self.left_rank, self.right_rank)
        return _Frontier(self.depth, *(column[chosen] for column in columns))

    def below(self, key: Found) -> "_Frontier":
        """Return the pairs whose bound is below `key`, in the order of the keys."""
        less = self.right_rank < key.right_rank
        columns = (self.left_rank, self.distance, self.grade)
        for column, limit in zip(columns, (key.left_rank, key.distance, key.grade), strict=True):
            less = (column < limit) | ((column == limit) & less)
        kept = self.take(less)
        return kept.take(np.lexsort((kept.right_rank, kept.left_rank, kept.distance, kept.grade)))


class _Terms:
    """What is to be kept inside, and in which order of toe and camber."""

    def __init__(self, request: Request, order: str):
        self.toe, self.camber = toe_terms(request), camber_terms(request)
        self._request, self._is_camber_first = request, order == CAMBER_FIRST

    def grade(self, toe_outside_halves, camber_outside):
        return grade_of(toe_outside_halves, camber_outside, self._request, self._is_camber_first)


class _Wheel:
    """One wheel's tree, moved to its base reading, with the distance bound of every box."""

    def __init__(self, request: Request, side: str, tree: tuple[Level, ...]):
        wheel, aims = request.wheels[side], aims_of(request, side)
        self.tree = tree
        base = {"camber_low": wheel.camber, "camber_high": wheel.camber, "toe_low": wheel.toe, "toe_high": wheel.toe}
        self.boxes = [{name: getattr(level, name) + base[name] for name in _FIELDS} for level in tree]
        self.distances = [distance_of(aims, **boxes) for boxes in self.boxes]

    def at(self, depth: int) -> int:
        """Return the level to use at a depth of the walk: a shallow tree waits at its points."""
        return min(depth, len(self.tree) - 1)


def best_pair(request: Request, left_tree, right_tree, order: str, bound: Found = NOTHING) -> Found | None:
    """Return the best joint result of two trees (tuples of Level); exact ties go to the smaller left rank, then right.

    `order` is TOE_FIRST or CAMBER_FIRST. None where none is below `bound`.
    """
    left, right = _Wheel(request, "left", left_tree), _Wheel(request, "right", right_tree)
    terms = _Terms(request, order)
    root = np.zeros(1, dtype=np.int64)
    waiting = [_bounded(terms, left, right, 0, root, root)]
    last = max(len(left_tree), len(right_tree)) - 1
    best = bound
    while waiting:
        frontier = waiting.pop().below(best)
        if len(frontier.left) == 0:
            continue
        if frontier.depth == last:
            columns = frontier.grade, frontier.distance, frontier.left_rank, frontier.right_rank
            grade, distance, left_rank, right_rank = (column[0] for column in columns)
            best = Found(int(grade), float(distance), int(left_rank), int(right_rank))
            continue
        waiting.append(frontier.take(slice(_BATCH, None)))
        waiting.append(_split(terms, left, right, frontier.take(slice(_BATCH))))
    return None if best is bound else best


def _split(terms, left: _Wheel, right: _Wheel, frontier: _Frontier) -> _Frontier:
    """Return the children of all pairs of boxes, with their bounds."""
    depth = frontier.depth
    lefts, rights = _children(left, depth, frontier.left), _children(right, depth, frontier.right)
    shape = (len(frontier.left), lefts.shape[1], rights.shape[1])
    lefts = np.broadcast_to(lefts[:, :, None], shape).ravel()
    rights = np.broadcast_to(rights[:, None, :], shape).ravel()
    return _bounded(terms, left, right, depth + 1, lefts, rights)


def _children(wheel: _Wheel, depth: int, boxes: np.ndarray) -> np.ndarray:
    """Return the boxes' children, (boxes, 2), or (boxes, 1) of themselves where they are points already."""
    if depth >= len(wheel.tree) - 1:
        return boxes[:, None]
    return wheel.tree[depth].children[boxes]


def _bounded(terms, left: _Wheel, right: _Wheel, depth: int, lefts, rights) -> _Frontier:
    """Return the pairs of boxes (lefts, rights) with the bounds of their keys."""
    left_level, right_level = left.at(depth), right.at(depth)
    sides = [
        {name: boxes[name][chosen] for name in _FIELDS}
        for boxes, chosen in ((left.boxes[left_level], lefts), (right.boxes[right_level], rights))
    ]
    toe, camber = (
        outside(term, *(side[f"{angle}_{end}"] for side in sides for end in ("low", "high")))
        for term, angle in ((terms.toe, "toe"), (terms.camber, "camber"))
    )
    return _Frontier(
        depth,
        lefts,
        rights,
        np.broadcast_to(terms.grade(toe, camber), lefts.shape),
        left.distances[left_level][lefts] + right.distances[right_level][rights],
        left.tree[left_level].rank[lefts],
        right.tree[right_level].rank[rights],
    )
