"""Least squares of two turning arrows to a paper's rows: one way of the numbers, all rows or some. It judges nothing.

First order, an index pair is a sum of two turning arrows: camber + i toe = alpha exp(-i sigma_A i s_A) + beta
exp(-i sigma_B j s_B), linear in the complex alpha and beta, which hold taper and thick mark. Camber and toe are weighed
by the SD that their own printing gives. The exact composition is reached by correcting the rows.
"""

import cmath
import math
from dataclasses import dataclass

import numpy as np

from calc.rings.tilt import Placed, effect_mdeg

CORRECTIONS = 4  # each takes the error of the sum down by about the square of the taper in radians
ALIKE = 0.2  # smallest ratio of the two singular values at which the rows still tell the two rings apart


@dataclass(frozen=True)
class Rows:
    """Index pairs and effects: turns (n,) radians of each ring, `effect` (n,) complex mdeg, `sds` of camber and toe."""

    inner_turn: np.ndarray
    outer_turn: np.ndarray
    effect: np.ndarray
    sds: tuple[float, float]

    def only(self, kept: np.ndarray) -> "Rows":
        """Return the rows at which the mask `kept` (n,) is true."""
        parts = (self.inner_turn, self.outer_turn, self.effect)
        return Rows(*(part[kept] for part in parts), self.sds)

    def design(self, sigma: tuple[int, int]) -> np.ndarray:
        """Return (n, 2) complex: by what each row turns the two arrows, if the numbers run that way."""
        turns = zip(sigma, (self.inner_turn, self.outer_turn), strict=True)
        return np.column_stack([np.exp(-1j * sign * turn) for sign, turn in turns])

    def __len__(self) -> int:
        return len(self.effect)


@dataclass(frozen=True)
class Solution:
    """Arrows of both rings (complex mdeg) for one way of the numbers.

    `errors`: per ring the standard error (mdeg) along its arrow and across it, if the printing's SDs are all there is.
    `squares`: misfit in those SDs, squared and summed. `alike`: the rows do not tell the two rings apart.
    """

    sigma: tuple[int, int]
    arrows: tuple[complex, complex]
    errors: tuple[tuple[float, float], tuple[float, float]]
    squares: float
    alike: bool

    def misses(self, rows: Rows) -> np.ndarray:
        """Return what each row says beyond the arrows, (n,) complex mdeg."""
        design, arrows = rows.design(self.sigma), np.array(self.arrows)
        return rows.effect - (design @ arrows if self.alike else composed(arrows, design))


def solve(rows: Rows, sigma: tuple[int, int]) -> Solution:
    """Return the least-squares arrows for one way in which the numbers run."""
    design = rows.design(sigma)
    singular = np.linalg.svd(design, compute_uv=False)
    alike = bool(singular[1] < ALIKE * singular[0])
    weighed = weighed_design(design, rows.sds)
    inverse = np.linalg.pinv(weighed)
    arrows = _complex(inverse @ weighed_effects(rows.effect, rows.sds))
    for _ in range(0 if alike else CORRECTIONS):
        bent = composed(arrows, design) - design @ arrows
        arrows = _complex(inverse @ weighed_effects(rows.effect - bent, rows.sds))
    found = Solution(sigma, tuple(map(complex, arrows)), _errors(inverse @ inverse.T, arrows), 0.0, alike)
    squares = float(np.sum(weighed_effects(found.misses(rows), rows.sds) ** 2))
    return Solution(found.sigma, found.arrows, found.errors, squares, alike)


def weighed_design(design: np.ndarray, sds: tuple[float, float]) -> np.ndarray:
    """Return (2n, 4) real: cambers, then toes, each in its SDs, from (alpha real, imaginary, beta real, imaginary)."""
    real, imaginary = design.real, design.imag
    camber = np.stack([real, -imaginary], axis=-1).reshape(len(design), 4)
    toe = np.stack([imaginary, real], axis=-1).reshape(len(design), 4)
    return np.vstack([camber / sds[0], toe / sds[1]])


def weighed_effects(effect: np.ndarray, sds: tuple[float, float]) -> np.ndarray:
    """Return (2n,) real: cambers, then toes, each in its SDs."""
    return np.concatenate([effect.real / sds[0], effect.imag / sds[1]])


def composed(arrows: np.ndarray, design: np.ndarray) -> np.ndarray:
    """Return the exactly composed effects (n,) complex mdeg of the arrows turned by each row."""
    return np.array([complex(*effect_mdeg(tuple(map(_placed, row)))) for row in design * arrows])


def _placed(arrow: complex) -> Placed:
    """Return a ring by its arrow; beyond 30 degrees no ring is meant, and the exact form would only wander off."""
    return Placed(math.radians(min(abs(arrow) / 1000, 30.0)), cmath.phase(arrow), 0.0, 0.0)


def _complex(parts: np.ndarray) -> np.ndarray:
    return np.array([complex(parts[0], parts[1]), complex(parts[2], parts[3])])


def _errors(covariance: np.ndarray, arrows: np.ndarray) -> tuple:
    """Return per ring the standard error along its arrow and across it."""
    found = []
    for k, arrow in enumerate(arrows):
        own = covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]
        along = np.array([arrow.real, arrow.imag]) / (abs(arrow) or 1.0)
        across = np.array([-along[1], along[0]])
        found.append(tuple(math.sqrt(max(0.0, float(way @ own @ way))) for way in (along, across)))
    return tuple(found)
