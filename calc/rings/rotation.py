"""Rotations as matrices, active, by the right-hand rule of whatever frame the axis is given in.

It knows nothing of rings: which axis a ring turns about stands in rings.py.
"""

import numpy as np


def matrix_from_axis_angle(axis, angle_rad):
    """Return the matrices that turn a vector by `angle_rad` about `axis` (Rodrigues).

    Parameters: `axis` (..., 3), unit length; `angle_rad` (...), radians; the leading shapes broadcast.
    Returns: (..., 3, 3) float64, R @ v turns v. A nan in either gives nan there.
    Source: Rodrigues' formula, R = I + sin(angle) K + (1 - cos(angle)) K K (RECALLED; tested against scipy).

    >>> (matrix_from_axis_angle([0.0, 0.0, 1.0], np.pi / 2) @ [1.0, 0.0, 0.0]).round(12).tolist()
    [0.0, 1.0, 0.0]
    """
    axis = np.asarray(axis, dtype=np.float64)
    angle_rad = np.asarray(angle_rad, dtype=np.float64)[..., None, None]
    x, y, z = np.moveaxis(axis, -1, 0)
    zero = np.zeros_like(x)
    cross = np.stack([zero, -z, y, z, zero, -x, -y, x, zero], axis=-1).reshape(*x.shape, 3, 3)
    return np.eye(3) + np.sin(angle_rad) * cross + (1.0 - np.cos(angle_rad)) * (cross @ cross)
