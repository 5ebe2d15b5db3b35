"""Intervals of a mean and of a standard deviation from a sample, for learning from finished jobs. No tables.

Both take the spread to be normal. They say how far a small sample can be trusted; they never repair one.
"""

import math

from calc.numbers.checks import check_list, check_number
from calc.numbers.tail_chances import chi2_upper, t_two_sided

OUTSIDE = 0.05  # the share that a 95 % interval leaves outside
_CLOSE = 1e-12  # of the root itself; far below what any sample can tell


def mean_interval(values) -> tuple[float, float | None, float | None]:
    """Return (mean, low, high) of the 95 % interval by Student's t; None for both ends of a single value.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2. Raises InputError for an empty list.
    """
    sizes = [check_number(value, f"values[{at}]", -1e12, 1e12) for at, value in enumerate(_listed(values))]
    mean = math.fsum(sizes) / len(sizes)
    if len(sizes) == 1:
        return mean, None, None
    dof = len(sizes) - 1
    sd = math.sqrt(math.fsum((size - mean) ** 2 for size in sizes) / dof)
    half = t_beyond(OUTSIDE, dof) * sd / math.sqrt(len(sizes))
    return mean, mean - half, mean + half


def sd_interval(squares: float, dof: int) -> tuple[float, float, float]:
    """Return (sd, low, high) of the 95 % interval of a standard deviation, from the sum of squared deviations.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.8. `dof` from 1.
    """
    low, high = (math.sqrt(squares / chi2_beyond(share, dof)) for share in (OUTSIDE / 2, 1 - OUTSIDE / 2))
    return math.sqrt(squares / dof), low, high


def share_interval(hits: int, count: int) -> tuple[float, float, float]:
    """Return (share, low, high) of the 95 % interval of a proportion, by Wilson's score; it stays within 0 and 1.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.1. `count` from 1.
    """
    share, z2 = hits / count, chi2_beyond(OUTSIDE, 1)
    middle = (share + z2 / (2 * count)) / (1 + z2 / count)
    half = math.sqrt(z2 * (share * (1 - share) / count + z2 / (4 * count**2))) / (1 + z2 / count)
    return share, max(0.0, middle - half), min(1.0, middle + half)


def t_beyond(share: float, dof: int) -> float:
    """Return the t that Student's t with `dof` exceeds, either way, with probability `share`.

    >>> round(t_beyond(0.05, 10), 3)
    2.228
    """
    return _falling_root(lambda t: t_two_sided(t, dof), share)


def chi2_beyond(share: float, dof: int) -> float:
    """Return the value that chi-square with `dof` exceeds with probability `share`.

    >>> round(chi2_beyond(0.05, 10), 3)
    18.307
    """
    return _falling_root(lambda x: chi2_upper(x, dof), share)


def _falling_root(function, wanted: float) -> float:
    """Return where a function falling from 1 at 0 has the wanted value, by halving."""
    low, high = 0.0, 1.0
    while function(high) > wanted:
        low, high = high, 2 * high
    while high - low > _CLOSE * high:
        middle = (low + high) / 2
        if function(middle) > wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _listed(values) -> list:
    return check_list(list(values), "values", 1, 100_000)
