"""What repeated readings are worth. It knows nothing of rings or windows."""

import math

from calc.numbers.checks import check_list, check_number

PRIOR_READINGS = 4  # how many readings' worth of weight the default spread has (design; a judgement, no source)


def mean_of_readings(readings) -> float:
    """Return the mean of the readings, summed without loss (math.fsum). Raises InputError for an empty list.

    >>> mean_of_readings([330, 350, 340])
    340.0
    """
    values = _checked(readings)
    return math.fsum(values) / len(values)


def sd_of_mean(readings, default_sd: float) -> float:
    """Return the standard deviation of the mean of repeated readings of one angle, in their unit.

    variance of the mean = (4 sd0^2 + sum of squared deviations) / (n + 3) / n, sd0 = `default_sd`: few readings lean
    on the default, many speak for themselves; one reading gives the default exactly.

    >>> sd_of_mean([330], 30.0)
    30.0
    >>> round(sd_of_mean([330, 350, 340], 30.0), 3)
    14.53
    """
    values = _checked(readings)
    sd0 = check_number(default_sd, "default_sd", 0, 1e9)
    mean, count = mean_of_readings(values), len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    return math.sqrt((PRIOR_READINGS * sd0**2 + squares) / (count + PRIOR_READINGS - 1) / count)


def _checked(readings) -> list[float]:
    check_list(readings, "readings", 1, 10_000)
    return [check_number(value, f"readings[{place}]", -1e9, 1e9) for place, value in enumerate(readings)]
