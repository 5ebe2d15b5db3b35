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

_BATCH = 512  # pairs of boxes split at a time: enough to keep numpy busy, few enough to find good results early
_FIELDS = ("camber_low", "camber_high", "toe_low", "toe_high")


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

    def below(self, key: tuple) -> "_Frontier":
        """Return the pairs whose bound is below `key`, in the order of the keys."""
        less = self.right_rank < key[3]
        columns = (self.left_rank, self.distance, self.grade)
        for column, limit in zip(columns, (key[2], key[1], key[0]), strict=True):
            less = (column < limit) | ((column == limit) & less)
        kept = self.take(less)
        return kept.take(np.lexsort((kept.right_rank, kept.left_rank, kept.distance, kept.grade)))


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


def best_pair(request: Request, left_tree: tuple[Level, ...], right_tree: tuple[Level, ...]) -> tuple[int, int]:
    """Return the ranks (left, right) of the best joint result; exact ties go to the smaller left rank, then right."""
    left, right = _Wheel(request, "left", left_tree), _Wheel(request, "right", right_tree)
    terms = toe_terms(request), camber_terms(request)
    root = np.zeros(1, dtype=np.int64)
    waiting = [_bounded(request, terms, left, right, 0, root, root)]
    last = max(len(left_tree), len(right_tree)) - 1
    best = (np.iinfo(np.int64).max, np.inf, 0, 0)
    while waiting:
        frontier = waiting.pop().below(best)
        if len(frontier.left) == 0:
            continue
        if frontier.depth == last:
            best = tuple(
                column[0] for column in (frontier.grade, frontier.distance, frontier.left_rank, frontier.right_rank)
            )
            continue
        waiting.append(frontier.take(slice(_BATCH, None)))
        waiting.append(_split(request, terms, left, right, frontier.take(slice(_BATCH))))
    return int(best[2]), int(best[3])


def _split(request, terms, left: _Wheel, right: _Wheel, frontier: _Frontier) -> _Frontier:
    """Return the children of all pairs of boxes, with their bounds."""
    depth = frontier.depth
    lefts, rights = _children(left, depth, frontier.left), _children(right, depth, frontier.right)
    shape = (len(frontier.left), lefts.shape[1], rights.shape[1])
    lefts = np.broadcast_to(lefts[:, :, None], shape).ravel()
    rights = np.broadcast_to(rights[:, None, :], shape).ravel()
    return _bounded(request, terms, left, right, depth + 1, lefts, rights)


def _children(wheel: _Wheel, depth: int, boxes: np.ndarray) -> np.ndarray:
    """Return the boxes' children, (boxes, 2), or (boxes, 1) of themselves where they are points already."""
    if depth >= len(wheel.tree) - 1:
        return boxes[:, None]
    return wheel.tree[depth].children[boxes]


def _bounded(request, terms, left: _Wheel, right: _Wheel, depth: int, lefts, rights) -> _Frontier:
    """Return the pairs of boxes (lefts, rights) with the bounds of their keys."""
    left_level, right_level = left.at(depth), right.at(depth)
    sides = [
        {name: boxes[name][chosen] for name in _FIELDS}
        for boxes, chosen in ((left.boxes[left_level], lefts), (right.boxes[right_level], rights))
    ]
    toe, camber = (
        outside(term, *(side[f"{angle}_{end}"] for side in sides for end in ("low", "high")))
        for term, angle in zip(terms, ("toe", "camber"), strict=True)
    )
    return _Frontier(
        depth,
        lefts,
        rights,
        np.broadcast_to(grade_of(toe, camber, request), lefts.shape),
        left.distances[left_level][lefts] + right.distances[right_level][rights],
        left.tree[left_level].rank[lefts],
        right.tree[right_level].rank[rights],
    )
