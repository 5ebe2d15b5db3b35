"""One wave round a circle by least squares: y = mean + c cos(angle) + s sin(angle), at any spacing.

Knows nothing of rings. Angles in radians; y in any unit, which all results but probabilities share.
"""

import math
from dataclasses import dataclass

import numpy as np

from calc.numbers.least_squares import LinearFit, least_squares
from calc.numbers.tail_chances import t_two_sided

FEWEST_TO_NAME = 6  # with fewer readings every one of them could be the odd one out


@dataclass(frozen=True)
class Wave:
    """A fitted wave; `linear` has the coefficients (mean, cos, sin).

    Standard errors take the residuals' spread, but at least `floor`, the spread of the measuring tool: a few readings
    that happen to agree prove nothing.
    """

    linear: LinearFit
    floor: float

    @property
    def mean(self) -> float:
        return float(self.linear.coefficients[0])

    @property
    def mean_se(self) -> float:
        return self._se(1.0, 0.0, 0.0)

    @property
    def amplitude(self) -> float:
        """Height of the wave above its mean, >= 0."""
        return math.hypot(self.linear.coefficients[1], self.linear.coefficients[2])

    @property
    def peak_rad(self) -> float:
        """Angle of the highest point, from -pi to pi."""
        return math.atan2(self.linear.coefficients[2], self.linear.coefficients[1])

    @property
    def amplitude_se(self) -> float:
        """Standard error of the amplitude: the covariance along the direction of the peak."""
        return self._se(0.0, math.cos(self.peak_rad), math.sin(self.peak_rad))

    @property
    def peak_se_rad(self) -> float | None:
        """Standard error of the peak angle; None where the wave drowns in it, so that the peak may be anywhere."""
        across = self._se(0.0, -math.sin(self.peak_rad), math.cos(self.peak_rad))
        return across / self.amplitude if across < self.amplitude else None

    def at(self, angle_rad: float) -> float:
        """Return the height of the wave at an angle."""
        return self.mean + self.amplitude * math.cos(angle_rad - self.peak_rad)

    def _se(self, *direction: float) -> float:
        along = np.array(direction)
        unit_variance = max(float(along @ self.linear.unit_covariance @ along), 0.0)
        return math.sqrt(unit_variance) * max(self.linear.residual_sd, self.floor)


def fit_wave(angle_rad: np.ndarray, y: np.ndarray, floor: float) -> Wave | None:
    """Return the least-squares wave through n >= 4 readings, or None where the angles do not settle three unknowns."""
    design = np.column_stack([np.ones_like(angle_rad), np.cos(angle_rad), np.sin(angle_rad)])
    linear = least_squares(design, y)
    return None if linear is None else Wave(linear, floor)


def name_outlier(wave: Wave, chance: float = 0.01) -> int | None:
    """Return the index of the reading that does not fit, or None.

    Each residual is studentised by the spread of the fit without that reading (externally studentised residual), and
    its two-sided probability is multiplied by the number of readings (Bonferroni) before it is held against `chance`.
    That spread too is at least the wave's floor.
    """
    residuals, count = wave.linear.residuals, len(wave.linear.residuals)
    if count < FEWEST_TO_NAME:
        return None
    free = np.maximum(1 - wave.linear.leverage, 1e-9)  # a reading that alone settles an unknown has no residual
    dof = count - 4
    without = (float(residuals @ residuals) - residuals**2 / free) / dof
    t = np.abs(residuals) / np.sqrt(np.maximum(without, wave.floor**2) * free)
    worst = int(np.argmax(t))
    return worst if t_two_sided(float(t[worst]), dof) * count < chance else None
