"""The measured quantities: the two angles of a wheel, and in which words each quantity goes up and down.

The signs of the whole program stand here once for Python (calc/README: Axes and units). It computes no angle.
"""

WHEEL_ANGLES = ("camber", "toe")  # of one wheel, in the order of every pair of numbers

# quantity -> (word where it is positive, word where it is negative); an angle's `way` is one of the two
SIGN_WORDS = {
    "camber": ("top-out", "top-in"),
    "toe": ("in", "out"),
    "total-toe": ("in", "out"),
    "thrust": ("right", "left"),
    "cross-camber": ("more", "less"),
}


def sign_word_of(quantity: str, mdeg: float) -> str:
    """Return the word for the sign of an angle; zero counts as positive.

    >>> sign_word_of("camber", -1640), sign_word_of("toe", 0)
    ('top-in', 'in')
    """
    return SIGN_WORDS[quantity][mdeg < 0]


def sign_of_word(word: str | None) -> int:
    """Return +1 or -1; no word at all, as an angle of zero has, is +1.

    >>> sign_of_word("out"), sign_of_word("top-out"), sign_of_word(None)
    (-1, 1, 1)
    """
    return -1 if word in {negative for _, negative in SIGN_WORDS.values()} else 1
