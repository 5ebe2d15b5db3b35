"""What one wheel can be given: every index pair of every ring set, without duplicates, in a tree of boxes.

The tree depends on the ring sets alone, never on readings or windows, so it is built once and used for both wheels.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from calc.rings.rings import RingSet
from calc.rings.table import effects_of, offered_of


@dataclass(frozen=True)
class Level:
    """The boxes of one depth of the tree, each array (boxes,) int64; `children` (boxes, 2) point into the next level.

    `rank` is the smallest rank in the box. In the last level every box is one point and has no children.
    """

    camber_low: np.ndarray
    camber_high: np.ndarray
    toe_low: np.ndarray
    toe_high: np.ndarray
    rank: np.ndarray
    children: np.ndarray | None


NO_RINGS = (Level(*(np.zeros(1, dtype=np.int64) for _ in range(5)), None),)


@dataclass(frozen=True)
class EffectIndex:
    """All index pairs on offer, (n,) arrays in rank order: ring set position, inner mark, outer mark; angles in mdeg.

    The rank is the order in which exact ties are broken.
    """

    position: np.ndarray
    i: np.ndarray
    j: np.ndarray
    camber: np.ndarray
    toe: np.ndarray


@lru_cache(maxsize=8)
def index_of(ring_sets: tuple[RingSet, ...]) -> EffectIndex:
    """Return the index pairs that no `max_tilt_mdeg` rules out."""
    parts = [_index_of_set(place, ring_set) for place, ring_set in enumerate(ring_sets)]
    empty = [np.zeros(0, dtype=np.int64)] * 5
    return EffectIndex(*(np.concatenate(column) for column in zip(empty, *parts, strict=True)))


def _index_of_set(place: int, ring_set: RingSet) -> list[np.ndarray]:
    camber, toe = effects_of(ring_set)
    offered = offered_of(ring_set)
    row, column = np.nonzero(offered)
    marks = [row + ring_set.inner.first_mark, column + ring_set.outer.first_mark]
    return [np.full(len(row), place), *marks, camber[offered], toe[offered]]


@lru_cache(maxsize=8)
def tree_of(ring_sets: tuple[RingSet, ...], uses_camber: bool, uses_toe: bool) -> tuple[Level, ...]:
    """Return the tree over the distinct effects, root first; each effect stands for its smallest rank.

    An angle that no window asks about is put to 0 first: pairs that differ only in it are equal, and there may be
    thousands of them. Raises ValueError if there is no candidate.
    """
    candidates = index_of(ring_sets)
    return _tree_over(candidates, np.arange(len(candidates.i)), uses_camber, uses_toe)


@lru_cache(maxsize=8)
def trees_of_each(ring_sets: tuple[RingSet, ...], uses_camber: bool, uses_toe: bool) -> tuple[tuple[Level, ...], ...]:
    """Return one such tree for each ring set that offers anything; the ranks are those among all ring sets."""
    candidates = index_of(ring_sets)
    offered = np.unique(candidates.position)
    ranks = [np.flatnonzero(candidates.position == place) for place in offered]
    return tuple(_tree_over(candidates, of_set, uses_camber, uses_toe) for of_set in ranks)


def _tree_over(candidates: EffectIndex, ranks: np.ndarray, uses_camber: bool, uses_toe: bool) -> tuple[Level, ...]:
    camber = candidates.camber[ranks] * uses_camber
    toe = candidates.toe[ranks] * uses_toe
    key = (camber << 32) + toe
    first = np.unique(key, return_index=True)[1]  # numpy gives the first of equals, that is the smallest rank
    return _tree(camber[first], toe[first], ranks[first])


def _tree(camber: np.ndarray, toe: np.ndarray, rank: np.ndarray) -> tuple[Level, ...]:
    """Halve the points along the longer side of their box, level by level, until a box holds one point or two."""
    count = len(rank)
    depth = count.bit_length() - 1
    starts = np.array([0, count])
    levels = []
    for _ in range(depth):
        low, high = (reduce.reduceat([camber, toe], starts[:-1], axis=1) for reduce in (np.minimum, np.maximum))
        least_rank = np.minimum.reduceat(rank, starts[:-1])
        boxes = len(starts) - 1
        levels.append(Level(low[0], high[0], low[1], high[1], least_rank, np.arange(2 * boxes).reshape(boxes, 2)))
        box = np.repeat(np.arange(boxes), np.diff(starts))
        longer = np.where((high - low)[0][box] >= (high - low)[1][box], camber, toe)
        order = np.lexsort((longer, box))
        camber, toe, rank = camber[order], toe[order], rank[order]
        middles = (starts[:-1] + starts[1:]) // 2
        starts = np.insert(starts, np.arange(1, boxes + 1), middles)
    return (*_join_points(levels, starts, camber, toe, rank), Level(camber, camber, toe, toe, rank, None))


def _join_points(levels, starts, camber, toe, rank) -> list[Level]:
    """Return the levels with one more, of boxes of one or two points, whose children are the points themselves."""
    first, last = starts[:-1], starts[1:] - 1
    pair = np.stack([first, last], axis=1)
    return [
        *levels,
        Level(camber[pair].min(1), camber[pair].max(1), toe[pair].min(1), toe[pair].max(1), rank[pair].min(1), pair),
    ]
