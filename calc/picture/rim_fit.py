"""Where a ring lies in a picture, from its rim touched at marks of known number and where the line crosses it.

The rim is a circle of radius 1 in space, seen by a camera of which only the usual angle of view is known. It says no
mark and judges nothing.
"""

import math
from dataclasses import dataclass

import numpy as np

# A finger with a magnified picture under it lands within this of what it means, SD, across each axis (ours; no source).
TOUCH_SD_MM = 1.0
# Distance at which the picture's longer side is as long as itself: main cameras of phones, 26 mm lens on 36 x 24 mm
# film, 4 to 3, give 0.75; cropped for video a little more (from memory; no source).
FOCAL_SHARE = 0.8
TILT_SD_DEG = 12.0  # how slanted the rim is looked at; one touch more, so that five touches bear a slip
START_TILTS = ((0.0, 0.0), (0.2, 0.0), (-0.2, 0.0), (0.0, 0.2), (0.0, -0.2))  # radians
ROUNDS = 25
STEP = 1e-5  # of a parameter, to take differences by
_LARGEST_DAMPING = 1e9
_NO_TURN = 1e-16  # under the root, so that a plane that is not turned has slopes
_UNSETTLED = 1e-12
_FARTHEST = 50.0  # of the logarithm: a step beyond it is none
_NEAREST = 0.05  # radii from the camera; a step that would bring the rim behind it is not taken for good
UNKNOWNS = 7  # roll, two tilts, place (3), the line's angle


@dataclass(frozen=True)
class RimFit:
    """`line_rad`: the line's angle from the first mark, clockwise as seen where `sense` is 1; `line_sd_rad`: its SD.

    `misfit`: squared residuals in touch SDs, of `freedom` degrees. `tilt_deg`: how slanted the rim is looked at.
    """

    line_rad: float
    line_sd_rad: float
    misfit: float
    freedom: int
    tilt_deg: float


def fit_rim(angles_rad: list[float], touched, line, size, radius_mm: float) -> RimFit | None:
    """Return the best fit of the rim; None where the touches are no picture of a circle at all.

    `angles_rad`: where the touched marks stand on the ring, clockwise as seen; `touched`: (n, 2) of them, n at least 3,
    and `line` (2,) in pixels from the upper left; `size`: (width, height) in pixels.
    """
    focal_px = FOCAL_SHARE * max(size)
    middle = np.array([size[0] / 2, size[1] / 2])
    seen = (np.vstack([np.asarray(touched, dtype=np.float64), np.asarray(line, dtype=np.float64)]) - middle) / focal_px
    start = _flat_start(np.asarray(angles_rad, dtype=np.float64), seen)
    if start is None:
        return None
    roll, x, y, scale, line_rad = start
    touch_sd = TOUCH_SD_MM / radius_mm * scale
    problem = _Problem(np.asarray(angles_rad, dtype=np.float64), seen, touch_sd)
    first = np.array([roll, 0.0, 0.0, x / scale, y / scale, -math.log(scale), line_rad])
    best = None
    for tilt in START_TILTS:
        begin = first.copy()
        begin[1:3] = tilt
        found = _least(problem, begin)
        if best is None or found[1] < best[1] - 1e-9:
            best = found
    return _as_fit(problem, *best)


class _Problem:
    """Residuals of all touches in SDs, (2 n + 4,): marks, line, then the two tilts, which are mostly small."""

    def __init__(self, angles: np.ndarray, seen: np.ndarray, touch_sd: float):
        self.angles, self.seen, self.touch_sd = angles, seen, touch_sd

    def residuals(self, unknowns: np.ndarray) -> np.ndarray:
        """Return residuals (..., m) of unknowns (..., 7)."""
        roll, p, q, x, y, log_far, line = np.moveaxis(unknowns, -1, 0)[..., None]
        at = np.concatenate([np.broadcast_to(self.angles, (*line.shape[:-1], len(self.angles))), line], axis=-1) + roll
        flat_x, flat_y = np.sin(at), -np.cos(at)
        # The plane turned by the vector (p, q, 0): its own axes, as Rodrigues writes them.
        turn = np.sqrt(p * p + q * q + _NO_TURN)
        sine, rest = np.sin(turn) / turn, (1 - np.cos(turn)) / (turn * turn)
        space_x = flat_x * (1 - rest * q * q) + flat_y * rest * p * q + x
        space_y = flat_x * rest * p * q + flat_y * (1 - rest * p * p) + y
        space_z = np.maximum(sine * (p * flat_y - q * flat_x) + np.exp(np.minimum(log_far, _FARTHEST)), _NEAREST)
        off_x = (space_x / space_z - self.seen[:, 0]) / self.touch_sd
        off_y = (space_y / space_z - self.seen[:, 1]) / self.touch_sd
        tilt_sd = math.radians(TILT_SD_DEG)
        return np.concatenate([off_x, off_y, p / tilt_sd, q / tilt_sd], axis=-1)

    def slopes(self, unknowns: np.ndarray) -> np.ndarray:
        """Return the change of each residual with each unknown, (m, 7), by central differences."""
        steps = STEP * np.eye(UNKNOWNS)
        return ((self.residuals(unknowns + steps) - self.residuals(unknowns - steps)) / (2 * STEP)).T


def _flat_start(angles: np.ndarray, seen: np.ndarray):
    """Return (roll, x, y, scale, line) of the circle that the marks would be, looked at straight; None where none is.

    Least squares of seen = centre + scale e^(i roll) flat, as complex numbers.
    """
    flat = np.sin(angles) - 1j * np.cos(angles)
    marks = seen[:-1, 0] + 1j * seen[:-1, 1]
    apart = flat - flat.mean()
    spread = float(np.sum(np.abs(apart) ** 2))
    if spread < 1e-6:
        return None
    turned = np.sum(np.conj(apart) * (marks - marks.mean())) / spread
    scale = float(abs(turned))
    if scale < 1e-6:
        return None
    centre = marks.mean() - turned * flat.mean()
    to_line = (seen[-1, 0] + 1j * seen[-1, 1] - centre) / turned
    line_rad = math.atan2(to_line.real, -to_line.imag)
    return float(np.angle(turned)), float(centre.real), float(centre.imag), scale, line_rad


def _least(problem: _Problem, unknowns: np.ndarray) -> tuple[np.ndarray, float]:
    """Return (unknowns, cost) at the least cost near a start: damped Gauss-Newton, whatever is better is taken."""
    damping = 1e-3
    residuals = problem.residuals(unknowns)
    cost = float(residuals @ residuals)
    for _ in range(ROUNDS):
        slopes = problem.slopes(unknowns)
        square, pull = _square(slopes), slopes.T @ residuals
        step = np.linalg.solve(square + damping * np.diag(np.diag(square)), -pull)
        tried = problem.residuals(unknowns + step)
        tried_cost = float(tried @ tried)
        if tried_cost < cost:
            is_done = cost - tried_cost < 1e-8 * (1 + cost)
            unknowns, residuals, cost, damping = unknowns + step, tried, tried_cost, max(damping / 10, 1e-12)
            if is_done:
                break
        else:
            damping *= 10
            if damping > _LARGEST_DAMPING:
                break
    return unknowns, cost


def _as_fit(problem: _Problem, unknowns: np.ndarray, _cost: float) -> RimFit:
    slopes, residuals = problem.slopes(unknowns), problem.residuals(unknowns)
    last = np.zeros(UNKNOWNS)
    last[-1] = 1.0
    spread = np.linalg.solve(_square(slopes), last)
    return RimFit(
        line_rad=float(unknowns[-1]),
        line_sd_rad=math.sqrt(max(float(spread[-1]), 0.0)),
        misfit=float(residuals @ residuals),
        freedom=len(residuals) - UNKNOWNS,
        tilt_deg=math.degrees(math.hypot(unknowns[1], unknowns[2])),
    )


def _square(slopes: np.ndarray) -> np.ndarray:
    """Return the normal equations, (7, 7): what no touch settles has an SD of a million and not an error."""
    return slopes.T @ slopes + _UNSETTLED * np.eye(UNKNOWNS)
