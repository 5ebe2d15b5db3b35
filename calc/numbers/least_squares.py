"""Ordinary least squares with standard errors, through the singular values. Knows nothing of what is fitted."""

from dataclasses import dataclass

import numpy as np

SINGULAR = 1e-6  # smallest share of the largest singular value at which the unknowns are still told apart


@dataclass(frozen=True)
class LinearFit:
    """Coefficients (k,), their covariance at unit variance (k, k), residuals (n,), their SD (n - k), leverage (n,)."""

    coefficients: np.ndarray
    unit_covariance: np.ndarray
    residuals: np.ndarray
    residual_sd: float
    leverage: np.ndarray

    @property
    def covariance(self) -> np.ndarray:
        """Covariance of the coefficients with the spread that the residuals show, (k, k)."""
        return self.unit_covariance * self.residual_sd**2


def least_squares(design: np.ndarray, y: np.ndarray) -> LinearFit | None:
    """Return the fit of y (n,) = design (n, k) coefficients, n > k; None where the rows do not settle all unknowns.

    Columns are scaled to length 1 first, so that SINGULAR judges the design and not its units.
    """
    rows, unknowns = design.shape
    scale = np.sqrt(np.sum(design * design, axis=0))
    if rows <= unknowns or not np.all(scale > 0):
        return None
    u, singular, vt = np.linalg.svd(design / scale, full_matrices=False)
    if singular[-1] < SINGULAR * singular[0]:
        return None
    coefficients = vt.T @ ((u.T @ y) / singular) / scale
    residuals = y - design @ coefficients
    variance = float(residuals @ residuals) / (rows - unknowns)
    unit_covariance = (vt.T / singular**2) @ vt / np.outer(scale, scale)
    return LinearFit(coefficients, unit_covariance, residuals, float(np.sqrt(variance)), np.sum(u * u, axis=1))
