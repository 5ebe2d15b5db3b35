"""Chances beyond a value of Student's t, chi-square and Fisher's F, as far as outliers and intervals need them.

No tables, no iteration that may not end.
"""

import math

import numpy as np


def t_two_sided(t: float, dof: int) -> float:
    """Return the probability that Student's t with `dof` >= 1 is at least |t| away from zero, from 0 to 1.

    Finite series in theta = atan(t / sqrt(dof)): Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3
    (odd dof) and 26.7.4 (even dof), from memory; the tests hold it against scipy.

    >>> round(t_two_sided(12.706, 1), 4), round(t_two_sided(2.228, 10), 4)
    (0.05, 0.05)
    """
    theta = math.atan(abs(t) / math.sqrt(dof))
    sine, cosine = math.sin(theta), math.cos(theta)
    odd = dof % 2 == 1
    term = cosine if odd else 1.0
    total = 0.0
    for k in range(3 if odd else 2, dof + 1, 2):
        total += term
        term *= cosine * cosine * (k - 1) / k
    within = (theta + sine * total) * 2 / math.pi if odd else sine * total
    return min(1.0, max(0.0, 1.0 - within))


def f_upper_two(f: float, dof: int) -> float:
    """Return the probability that Fisher's F with 2 and `dof` degrees of freedom is at least `f`: exact closed form.

    >>> round(f_upper_two(4.103, 10), 3)
    0.05
    """
    return (1 + 2 * f / dof) ** (-dof / 2)


def chi2_upper(x: float, dof: int) -> float:
    """Return the probability that chi-square with `dof` >= 1 is at least `x`.

    Finite series: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 (odd dof) and 26.4.5 (even dof),
    from memory; the tests hold it against scipy.
    """
    if x <= 0:
        return 1.0
    half, odd = x / 2, dof % 2 / 2
    powers = odd + np.arange(dof // 2)
    # In logarithms, because the factors alone run out of a double's range at a few hundred degrees of freedom.
    log_factorials = math.lgamma(odd + 1) + np.cumsum(np.log(np.where(powers > odd, powers, 1.0)))
    series = float(np.sum(np.exp(powers * math.log(half) - half - log_factorials)))
    return min(1.0, series + (math.erfc(math.sqrt(half)) if odd else 0.0))
