"""How sharp a picture is round the rim and how much of the rim a lamp's reflection hides, before it is kept.

Both look at the luminance of a picture made small: 0 to 255, row by row, `WORKING_PX` on its longer side. The limits
were measured on rendered pictures (tests/bench/bench_picture.py), not on real ones.
"""

import numpy as np

WORKING_PX = 800
# Numbers 4.6 mm high are read down to 0.02 and no more at 0.012. A blurred picture that is dim and grainy passes.
LEAST_SHARPNESS = 0.018
MOST_GLARE = 0.05  # share of the rim
CLIPPED = 250  # from here on nothing can be read
RIM_FROM = 0.6  # of the rim's radius: where marks and numbers stand
RIM_TO = 1.05


def sharpness(values, width: int, height: int, rim) -> float:
    """Return the variance of the Laplacian round the rim over that of the luminance there; 0 where all is alike.

    Over it, not by itself, so that a dim picture is not called blurred; of means of 3 x 3, so that grain is not called
    sharp. `values`: width x height; `rim`: (x, y, radius) in their pixels, from the upper left.
    """
    light = np.asarray(values, dtype=np.float64).reshape(height, width)
    mean = sum(light[y : height - 2 + y, x : width - 2 + x] for y in range(3) for x in range(3)) / 9
    inner = mean[1:-1, 1:-1]
    laplacian = mean[:-2, 1:-1] + mean[2:, 1:-1] + mean[1:-1, :-2] + mean[1:-1, 2:] - 4 * inner
    near = _near(width, height, rim)[2:-2, 2:-2]
    if not near.any():
        return 0.0
    spread = float(inner[near].var())
    return float(laplacian[near].var()) / spread if spread > 1e-9 else 0.0


def glare_share(values, width: int, height: int, rim) -> float:
    """Return the share of what lies round the rim that is clipped, 0 to 1; parameters as for `sharpness`."""
    light = np.asarray(values).reshape(height, width)
    near = _near(width, height, rim)
    return float(np.mean(light[near] >= CLIPPED)) if near.any() else 0.0


def _near(width: int, height: int, rim) -> np.ndarray:
    """Return which pixels lie round the rim, (height, width) bool."""
    x, y, radius = rim
    across, down = np.meshgrid(np.arange(width) - x, np.arange(height) - y)
    square = across * across + down * down
    return (square >= (RIM_FROM * radius) ** 2) & (square <= (RIM_TO * radius) ** 2)
