"""Both rings' data from the paper that came with them: four or more index pairs with the camber and toe they make.

First order, an index pair is a sum of two turning arrows: camber + i toe = alpha exp(-i sigma_A i s_A) + beta
exp(-i sigma_B j s_B), linear in the complex alpha and beta, which hold taper and thick mark. The four ways in which the
numbers of the two rings may run (sigma) are tried one by one; the exact composition is reached by correcting the rows.
Must not guess: a row that does not fit is named, and what the rows do not settle is said.
"""

import cmath
import math
from dataclasses import dataclass
from itertools import product

import numpy as np

from calc.numbers.tail_chances import f_upper_two
from calc.rings.tilt import Placed, effect_mdeg

SIGMAS = tuple(product((1, -1), repeat=2))
CORRECTIONS = 4  # each takes the error of the sum down by about the square of the taper in radians
ALIKE = 0.2  # smallest ratio of the two singular values at which the rows still tell the two rings apart
SETTLED_RATIO = 10.0  # the runner-up must fit this many times worse
ROW_CHANCE = 0.01  # a row this unlikely (over all rows) does not fit


@dataclass(frozen=True)
class Rows:
    """Index pairs and effects: `inner_turn`, `outer_turn` (n,) radians of each ring, `effect` (n,) complex mdeg."""

    inner_turn: np.ndarray
    outer_turn: np.ndarray
    effect: np.ndarray

    def without(self, row: int) -> "Rows":
        return Rows(*(np.delete(part, row) for part in (self.inner_turn, self.outer_turn, self.effect)))

    def __len__(self) -> int:
        return len(self.effect)


@dataclass(frozen=True)
class Solution:
    """Arrows of both rings (complex mdeg), their standard errors per unit of spread, misses (n,) and their squares."""

    sigma: tuple[int, int]
    arrows: tuple[complex, complex]
    unit_errors: tuple[float, float]
    misses: np.ndarray
    squares: float
    alike: bool

    def said(self, rows: Rows, row: int) -> complex:
        """Return what the arrows say of one row, complex mdeg."""
        turns = (rows.inner_turn[row], rows.outer_turn[row])
        turned = [cmath.exp(-1j * sign * turn) for sign, turn in zip(self.sigma, turns, strict=True)]
        return complex(_exact(np.array(self.arrows), np.array([turned]))[0])


@dataclass(frozen=True)
class Verdict:
    """The solution taken, the row left out of it (or None), the spread of a miss (mdeg), codes of what is wrong."""

    solution: Solution
    odd_row: int | None
    spread_mdeg: float
    reasons: list[str]


def solve(rows: Rows, sigma: tuple[int, int]) -> Solution:
    """Return the least-squares arrows for one way in which the numbers run."""
    design = np.column_stack([np.exp(-1j * sigma[0] * rows.inner_turn), np.exp(-1j * sigma[1] * rows.outer_turn)])
    u, singular, vh = np.linalg.svd(design, full_matrices=False)
    alike = bool(singular[1] < ALIKE * singular[0])
    inverse = vh.conj().T @ (u.conj().T / np.maximum(singular, 1e-9)[:, None])
    arrows = inverse @ rows.effect
    for _ in range(0 if alike else CORRECTIONS):
        arrows = inverse @ (rows.effect - (_exact(arrows, design) - design @ arrows))
    misses = rows.effect - (design @ arrows if alike else _exact(arrows, design))
    errors = np.sqrt(np.sum(np.abs(inverse) ** 2, axis=1))
    squares = float(np.sum(np.abs(misses) ** 2))
    return Solution(sigma, tuple(map(complex, arrows)), tuple(map(float, errors)), misses, squares, alike)


def _exact(arrows: np.ndarray, design: np.ndarray) -> np.ndarray:
    """Return the exactly composed effects (n,) complex mdeg of the arrows turned by each row."""
    return np.array([complex(*effect_mdeg(tuple(map(_placed, row)))) for row in design * arrows])


def _placed(arrow: complex) -> Placed:
    """Return a ring by its arrow; beyond 30 degrees no ring is meant, and the exact form would only wander off."""
    return Placed(math.radians(min(abs(arrow) / 1000, 30.0)), cmath.phase(arrow), 0.0, 0.0)


def judge(rows: Rows, floor_mdeg: float) -> Verdict:
    """Return the best solution, leaving out a row where one alone does not fit.

    `floor_mdeg` is the spread that the paper's own rounding gives. A row does not fit if leaving it out takes away more
    misfit than chance would (Fisher's F with 2 and 2(n - 1) - 4 degrees of freedom, times the number of rows).
    """
    found = sorted((solve(rows, sigma) for sigma in SIGMAS), key=lambda solution: solution.squares)
    dof = 2 * len(rows) - 4
    fits = found[0].squares <= dof * (3 * floor_mdeg) ** 2
    if not fits:
        odd = _odd_row(rows, floor_mdeg)
        if odd is not None:
            return odd
    reasons = _unsettled(found, dof * floor_mdeg**2)
    if not fits:
        reasons.append("rows-do-not-agree")
    return Verdict(found[0], None, max(floor_mdeg, math.sqrt(found[0].squares / dof)), reasons)


def _odd_row(rows: Rows, floor_mdeg: float) -> Verdict | None:
    """Return the verdict without the one row that does not fit; None where there is none, or it could be another."""
    dof = 2 * (len(rows) - 1) - 4
    tried = [(solve(rows.without(row), sigma), row) for row in range(len(rows)) for sigma in SIGMAS]
    tried.sort(key=lambda pair: pair[0].squares)
    best, row = tried[0]
    least = max(best.squares, dof * floor_mdeg**2)
    whole = solve(rows, best.sigma)
    if f_upper_two((whole.squares - best.squares) / 2 / (least / dof), dof) * len(rows) >= ROW_CHANCE:
        return None
    if any(other.squares <= SETTLED_RATIO * least for other, other_row in tried if other_row != row):
        return None
    same_row = [solution for solution, other_row in tried if other_row == row]
    reasons = ["row-does-not-fit", *_unsettled(same_row, dof * floor_mdeg**2)]
    return Verdict(best, row, max(floor_mdeg, math.sqrt(best.squares / dof)), reasons)


def _unsettled(found: list[Solution], floor_squares: float) -> list[str]:
    """Return what the rows leave open, for solutions sorted by misfit."""
    reasons = ["rows-too-alike"] if found[0].alike else []
    if found[1].squares <= SETTLED_RATIO * max(found[0].squares, floor_squares):
        reasons.append("direction-not-settled")
    return reasons
