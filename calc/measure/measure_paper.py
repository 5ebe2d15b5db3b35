"""Which rows of a ring set's paper agree, which are slips, and what the rows that agree say of both rings.

The four ways in which the numbers of the two rings may run (sigma) are tried one by one. For each, arrows are looked
for that most rows agree to, whatever the others say; then rows that agree come in until none is left that does. So
slips are found one after the other, and two do not hide each other. Must not guess: rows that do not fit are named only
where no other set of rows agrees as well, and what the rows do not settle is said.
"""

import math
from dataclasses import dataclass, replace
from itertools import combinations, product

import numpy as np

from calc.measure.paper_fit import Rows, Solution, composed, solve, weighed_design, weighed_effects
from calc.numbers.tail_chances import f_upper_two

SIGMAS = tuple(product((1, -1), repeat=2))
SETTLED_RATIO = 10.0  # another way of the numbers must fit this many times worse
ROW_CHANCE = 0.01  # a row this unlikely (over all rows) does not fit
# The printing's own SD counts as so many degrees of freedom: few rows say little of how they scatter.
PRIOR_DOF = 20
# Rows that scatter by more than this many SDs of their printing do not agree. Of charts of 6 to 14 rows 99 in 100 stay
# below 1.4, below 1.9 where the maker cuts digits off (tests/calc/charts.py): those pass, with tapers too small by up
# to half a step, for few rows cannot tell them from rounded ones.
MOST_SCATTER = 2.5
FEW_ROWS = 40  # of more, two thirds do not agree by chance, whichever they are
MOST_TRIALS = 800  # pairs of rows that arrows are tried from; all of them up to 40 rows
LEAST_DETERMINANT = 0.2  # two rows that turn both rings nearly alike give no arrows to try
CLOSER, ROUNDS = 3, 20  # how often arrows are drawn closer to the nearest rows; how often rows may come and go


@dataclass(frozen=True)
class Verdict:
    """The solution of the rows that agree, which these are (n,), how far beyond their printing they scatter, codes."""

    solution: Solution
    fits: np.ndarray
    scatter: float
    reasons: list[str]

    @property
    def settles_direction(self) -> bool:
        return not {"direction-not-settled", "rows-do-not-agree"} & set(self.reasons)


@dataclass(frozen=True)
class _Way:
    """One way of the numbers: its arrows, its rows made linear, the mask of the nearest of them (n,), their misfit."""

    sigma: tuple[int, int]
    arrows: np.ndarray
    design: np.ndarray
    effect: np.ndarray
    nearest: np.ndarray
    squares: float


def judge(rows: Rows, nearest_of: tuple[int, int] | None = None) -> Verdict:
    """Return what the rows that agree say, and codes of what keeps it from being trusted.

    `nearest_of`: the marks of both rings where the rows are wanted changes with the pair that comes nearest to each;
    what that pair does is then off by as much as the pairs lie apart.
    """
    ways = _ways(rows)
    if nearest_of:
        apart = nearest_pair_sd_mdeg(ways[0].arrows, nearest_of)
        rows = replace(rows, sds=tuple(math.hypot(sd, apart) for sd in rows.sds))
        ways = _ways(rows)
    kept, variance = _grown(ways[0], rows.sds)
    left_out = len(rows) - int(kept.sum())
    is_unique = left_out <= _most_left_out(len(rows)) and not _may_be_others(rows, ways, kept, variance)
    fits = kept if is_unique else np.ones(len(rows), dtype=bool)
    found = sorted((solve(rows.only(fits), sigma) for sigma in SIGMAS), key=lambda solution: solution.squares)
    dof = 2 * int(fits.sum()) - 4
    scatter = math.sqrt(found[0].squares / dof)
    reasons = _unsettled(found, dof)
    if not is_unique or scatter > MOST_SCATTER:
        reasons.append("rows-do-not-agree")
    if is_unique and left_out:
        reasons.append("row-does-not-fit")
    return Verdict(found[0], fits, max(1.0, scatter), reasons)


def _ways(rows: Rows) -> list[_Way]:
    return sorted((_way(rows, sigma) for sigma in SIGMAS), key=lambda way: way.squares)


def nearest_pair_sd_mdeg(arrows: np.ndarray, marks: tuple[int, int]) -> float:
    """Return the SD of one angle by which the nearest pair misses a wanted change, mdeg.

    Tapers a and b reach a ring of area pi ((a + b)^2 - (a - b)^2) = 4 pi a b, over which their pairs are taken to lie
    as evenly as a square grid of that many points; alike rings have each effect twice.
    """
    inner, outer = map(abs, arrows)
    pairs = marks[0] * marks[1] / 2
    return math.sqrt(4 * math.pi * inner * outer / pairs / 12)


def _unsettled(found: list[Solution], dof: int) -> list[str]:
    """Return what the rows leave open, for solutions sorted by misfit."""
    reasons = ["rows-too-alike"] if found[0].alike else []
    if found[1].squares <= SETTLED_RATIO * max(found[0].squares, dof):
        reasons.append("direction-not-settled")
    return reasons


def _most_left_out(count: int) -> int:
    """Return how many rows may be slips: the others must be twice as many beyond the two that any arrows fit."""
    return (count - 2) // 3


def _may_be_others(rows: Rows, ways: list[_Way], kept: np.ndarray, variance: float) -> bool:
    """Return whether as many rows agree, as nearly, with one among them that was left out: it may then be no slip."""
    if kept.all() or len(rows) > FEW_ROWS:
        return False
    others = [*ways[1:], *(_way(rows, ways[0].sigma, row) for row in np.flatnonzero(~kept))]
    for other in others:
        agreed, _ = _grown(other, rows.sds, variance)
        if agreed.sum() >= kept.sum() and (agreed & ~kept).any():
            return True
    return False


def _way(rows: Rows, sigma: tuple[int, int], with_row: int | None = None) -> _Way:
    """Return one way of the numbers with the rows that agree best; `with_row` is one that they are sought from."""
    design, effect = rows.design(sigma), rows.effect
    arrows = _most_agree_with(design, effect, rows.sds, with_row)
    if arrows is None:
        every = np.ones(len(rows), dtype=bool)
        arrows = _arrows(design, effect, rows.sds)
        return _Way(sigma, arrows, design, effect, every, _squares(design, effect, rows.sds, every))
    effect = effect - (composed(arrows, design) - design @ arrows)  # what remains is linear
    for _ in range(CLOSER):
        nearest = _nearest(effect - design @ arrows, rows.sds)
        arrows = _arrows(design[nearest], effect[nearest], rows.sds)
    return _Way(sigma, arrows, design, effect, nearest, _squares(design, effect, rows.sds, nearest))


def _arrows(design: np.ndarray, effect: np.ndarray, sds) -> np.ndarray:
    parts = np.linalg.pinv(weighed_design(design, sds)) @ weighed_effects(effect, sds)
    return parts[::2] + 1j * parts[1::2]


def _squares(design, effect, sds, kept) -> float:
    """Return the misfit of the rows kept, squared and summed."""
    miss = effect[kept] - design[kept] @ _arrows(design[kept], effect[kept], sds)
    return float(np.sum(_in_sds(miss, sds)))


def _in_sds(miss: np.ndarray, sds) -> np.ndarray:
    """Return misses in their SDs, squared, camber and toe together."""
    return (miss.real / sds[0]) ** 2 + (miss.imag / sds[1]) ** 2


def _grown(way: _Way, sds, variance: float | None = None) -> tuple[np.ndarray, float]:
    """Return the mask (n,) of the rows that agree, from the nearest on, and their variance in the printing's own.

    `variance` where it is given, else as the rows kept show it.
    """
    kept, shown = way.nearest, 1.0
    for _ in range(ROUNDS):
        fits, shown = _those_that_fit(way, sds, kept, variance)
        if np.array_equal(fits, kept):
            break
        kept = fits
        if kept.sum() < 3:  # too few to fit anything by
            break
    return kept, shown


def _most_agree_with(design, effect, sds, with_row: int | None) -> np.ndarray | None:
    """Return the arrows (2,) from two rows to which most rows come nearest; None where no two rows give any."""
    places = _trials(len(effect), with_row)
    (a, b), (c, d) = design[places[:, 0]].T, design[places[:, 1]].T
    determinant = a * d - b * c
    usable = np.abs(determinant) > LEAST_DETERMINANT
    if not usable.any():
        return None
    first, second = effect[places[:, 0]], effect[places[:, 1]]
    found = np.column_stack([d * first - b * second, a * second - c * first])[usable] / determinant[usable, None]
    miss = effect - found @ design.T
    kept = len(effect) - _most_left_out(len(effect))
    return found[np.argmin(np.sort(_in_sds(miss, sds), axis=1)[:, :kept].sum(axis=1))]


def _trials(count: int, with_row: int | None) -> np.ndarray:
    """Return pairs of rows (m, 2) to try arrows from: all, or of very many rows a fixed choice of them."""
    if with_row is not None:
        others = np.delete(np.arange(count), with_row)
        return np.column_stack([np.full(count - 1, with_row), others])[:MOST_TRIALS]
    if count * (count - 1) // 2 <= MOST_TRIALS:
        return np.array(list(combinations(range(count), 2)))
    chosen = np.random.default_rng(0).integers(0, count, (MOST_TRIALS, 2))
    return chosen[chosen[:, 0] != chosen[:, 1]]


def _nearest(miss: np.ndarray, sds) -> np.ndarray:
    """Return the mask (n,) of the rows that come nearest: as many as cannot be slips."""
    count = len(miss)
    nearest = np.zeros(count, dtype=bool)
    nearest[np.argsort(_in_sds(miss, sds), kind="stable")[: count - _most_left_out(count)]] = True
    return nearest


def _those_that_fit(way: _Way, sds, kept: np.ndarray, variance: float | None) -> tuple[np.ndarray, float]:
    """Return the mask (n,) of all rows that fit the rows kept, and the variance that this was judged by.

    A row fits unless chance would put it so far off the others less than ROW_CHANCE times in all rows: Fisher's F with
    2 degrees of freedom over those of the rows and the printing. How well the others settle it is taken into account.
    """
    both, count = np.concatenate([kept, kept]), len(kept)
    weighed, values = weighed_design(way.design, sds), weighed_effects(way.effect, sds)
    inverse = np.linalg.pinv(weighed[both])
    misses = values - weighed @ (inverse @ values[both])
    dof = max(0, 2 * int(kept.sum()) - 4)
    if variance is None:
        variance = max(1.0, (float(np.sum(misses[both] ** 2)) + PRIOR_DOF) / (dof + PRIOR_DOF))
    each = np.stack([weighed[:count], weighed[count:]], axis=1)  # (n, 2, 4)
    spread = each @ inverse @ inverse.T @ each.transpose(0, 2, 1) * np.where(kept, -1, 1)[:, None, None]
    spread += (1 + 1e-9) * np.eye(2)  # a row that alone settles something is never off: no division by nothing
    off = np.stack([misses[:count], misses[count:]], axis=1)[:, :, None]
    distance = (off.transpose(0, 2, 1) @ np.linalg.solve(spread, off))[:, 0, 0]
    return f_upper_two(distance / 2 / variance, dof + PRIOR_DOF) * count >= ROW_CHANCE, variance
