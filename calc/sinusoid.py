"""One wave round a circle by least squares: y = mean + c cos(angle) + s sin(angle), at any spacing.

Knows nothing of rings. Angles in radians; y in any unit, which all results but probabilities share.
"""

import math
from dataclasses import dataclass

import numpy as np

from calc.student import t_two_sided

_FEWEST = 4  # three unknowns, and one reading more, without which nothing can be said of the spread
_SINGULAR = 1e-6  # smallest share of the largest singular value at which the angles still tell the three unknowns apart


@dataclass(frozen=True)
class Wave:
    """A fitted wave: coefficients (mean, cos, sin), their (3, 3) covariance, residuals and the residual SD (n - 3)."""

    coefficients: np.ndarray
    covariance: np.ndarray
    residuals: np.ndarray
    residual_sd: float
    leverage: np.ndarray

    @property
    def amplitude(self) -> float:
        """Height of the wave above its mean, >= 0."""
        return math.hypot(self.coefficients[1], self.coefficients[2])

    @property
    def peak_rad(self) -> float:
        """Angle of the highest point, from -pi to pi."""
        return math.atan2(self.coefficients[2], self.coefficients[1])

    @property
    def amplitude_se(self) -> float:
        """Standard error of the amplitude: the covariance along the direction of the peak."""
        return self._se(np.array([0.0, math.cos(self.peak_rad), math.sin(self.peak_rad)]))

    @property
    def peak_se_rad(self) -> float | None:
        """Standard error of the peak angle; None where there is no wave, so that the peak may be anywhere."""
        across = self._se(np.array([0.0, -math.sin(self.peak_rad), math.cos(self.peak_rad)]))
        return across / self.amplitude if self.amplitude > 0 and across < self.amplitude else None

    def _se(self, direction: np.ndarray) -> float:
        return math.sqrt(max(float(direction @ self.covariance @ direction), 0.0))


def wave_design(angle_rad: np.ndarray) -> np.ndarray:
    """Return the (n, 3) design matrix of the wave for angles of shape (n,)."""
    return np.column_stack([np.ones_like(angle_rad), np.cos(angle_rad), np.sin(angle_rad)])


def fit_wave(angle_rad: np.ndarray, y: np.ndarray) -> Wave | None:
    """Return the least-squares wave through n >= 4 readings, or None where the angles do not settle three unknowns."""
    design = wave_design(angle_rad)
    u, singular, vt = np.linalg.svd(design, full_matrices=False)
    if len(y) < _FEWEST or singular[-1] < _SINGULAR * singular[0]:
        return None
    coefficients = vt.T @ ((u.T @ y) / singular)
    residuals = y - design @ coefficients
    variance = float(residuals @ residuals) / (len(y) - 3)
    covariance = (vt.T / singular**2) @ vt * variance
    return Wave(coefficients, covariance, residuals, math.sqrt(variance), np.sum(u * u, axis=1))


def name_outlier(wave: Wave, floor: float, chance: float = 0.01) -> int | None:
    """Return the index of the reading that does not fit, or None.

    Each residual is studentised by the spread of the fit without that reading (externally studentised residual), and
    its two-sided probability is multiplied by the number of readings (Bonferroni) before it is held against `chance`.
    `floor` is the spread, in y's unit, that the measuring tool has by itself: below it nothing is called an outlier.
    Needs at least 6 readings, else every one of them could be the odd one out.
    """
    count = len(wave.residuals)
    if count < 6:
        return None
    free = 1 - np.minimum(wave.leverage, 1 - 1e-9)
    dof = count - 4
    without = (float(wave.residuals @ wave.residuals) - wave.residuals**2 / free) / dof
    spread = np.sqrt(np.maximum(without, floor * floor) * free)
    t = np.abs(wave.residuals) / spread
    worst = int(np.argmax(t))
    return worst if t_two_sided(float(t[worst]), dof) * count < chance else None
