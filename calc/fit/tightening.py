"""The order in which the bolts of any pattern are tightened, and the stages. Knows no torque of its own."""

from calc.numbers.rounding import to_decimals

# Hand-tight, then three stages: common practice, no source. The last stage is the typed torque itself.
STAGE_SHARES = (0.3, 0.7, 1.0)


def cross_order(count: int) -> list[int]:
    """Return the cross-pattern order of `count` places round a circle, 0 first.

    An even count is half as many pairs of opposite places, the pairs themselves in cross order; an odd count goes
    round by (count - 1) / 2, which shares no factor with the count, so that every place comes once.

    >>> cross_order(4), cross_order(5), cross_order(6)
    ([0, 2, 1, 3], [0, 2, 4, 1, 3], [0, 3, 1, 4, 2, 5])
    """
    if count < 3:
        return list(range(count))
    if count % 2:
        step = (count - 1) // 2
        return [k * step % count for k in range(count)]
    half = count // 2
    return [place for first in cross_order(half) for place in (first, first + half)]


def tightening_order(bolts: list[tuple[float, float]]) -> list[int]:
    """Return the numbers of the bolts (1 = first in the list) in the order of tightening.

    `bolts` are (radius in mm, clock in degrees). Places are counted from the top towards the rear, so four bolts in a
    rectangle go by its diagonals.

    >>> tightening_order([(50, 30), (50, 150), (50, 210), (50, 330)])
    [1, 3, 2, 4]
    """
    places = sorted(range(len(bolts)), key=lambda k: (bolts[k][1] % 360, bolts[k][0], k))
    return [places[k] + 1 for k in cross_order(len(bolts))]


def tightening_stages(torque: float, unit: str, angle_deg: float | None) -> list[dict]:
    """Return the stages `[{"torque", "unit", "angle_deg"}]` to the typed torque, in the unit of the typed one.

    Whole numbers but for the last, which is as typed; a typed angle comes as a stage of its own after it.
    """
    torques = [to_decimals(torque * share, 0) for share in STAGE_SHARES[:-1]] + [torque]
    stages = [{"torque": each, "unit": unit, "angle_deg": None} for each in torques]
    return stages if angle_deg is None else [*stages, {"torque": None, "unit": None, "angle_deg": angle_deg}]
