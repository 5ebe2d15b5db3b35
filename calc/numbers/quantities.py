"""The measured quantities: the two angles of a wheel, and in which words each quantity goes up and down.

The signs of the whole program stand here once for Python (DEVELOPERS: Axes and units). It computes no angle.
"""

PARTS = ("camber", "toe")  # of one wheel, in the order of every pair of numbers

# quantity -> (positive way, negative way)
WAYS = {
    "camber": ("top-out", "top-in"),
    "toe": ("in", "out"),
    "total-toe": ("in", "out"),
    "thrust": ("right", "left"),
    "cross-camber": ("more", "less"),
}


def way_of(quantity: str, mdeg: float) -> str:
    """Return the way that a signed angle goes; zero counts as positive.

    >>> way_of("camber", -1640), way_of("toe", 0)
    ('top-in', 'in')
    """
    return WAYS[quantity][mdeg < 0]


def sign_of_way(way: str | None) -> int:
    """Return +1 or -1; no way at all, as an angle of zero has, is +1.

    >>> sign_of_way("out"), sign_of_way("top-out"), sign_of_way(None)
    (-1, 1, 1)
    """
    return -1 if way in {negative for _, negative in WAYS.values()} else 1
