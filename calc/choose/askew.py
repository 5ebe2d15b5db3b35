"""What more tells about a crooked axle: lengths measured on the floor, and the wheels swapped from side to side.

It weighs; it chooses nothing. Lengths in whole tenths of a millimetre, angles in mdeg, positive to the right of the
vehicle as thrust is; x forward, y left. "More than twice its SD" is the bar throughout, compared in whole numbers.

Lengths. An axle that heads to the right by psi has its left end ahead. With the rear track T, hub centre to hub centre:
`sin psi = (right wheelbase - left wheelbase) / T`. With the diagonals a (left front to right rear) and b (right front
to left rear), both tracks taken as alike, `a^2 - b^2 = 2 W T sin psi - 4 T y`, y how far the axle sits to the left, W
the wheelbase between. So diagonals alone tell psi only where y is nought, and with the wheelbases they tell y:
`y = ((right^2 - left^2) - (a^2 - b^2)) / (4 T)`. Without wheelbases `W^2 = (a^2 + b^2) / 2 - T^2`. Source: coordinates
of four points and Pythagoras, worked here; tests/calc/test_askew.py builds axles and measures them. Both measure
against the front wheels: one that sits back tells like a skewed rear axle. That they are measured so, and how well a
tape repeats, is common practice, no source.

Swapping. What the two sides differ by, before and after: half their difference went with the wheels, half their sum
stays with hub and axle. Common practice, no source.
"""

import math
from fractions import Fraction

from calc.choose.choose_input import Spread
from calc.numbers.checks import check_keys, check_number
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.numbers.units import round_half_away

LENGTH_SD_MM = 2.0  # one length, tape or trammel between hub centres: common practice, no source
LENGTH_SD_MM_HIGH = 50
TRACK_MM_LOW = 500
TRACK_MM_HIGH = 4000
LENGTH_MM_LOW = 1000
LENGTH_MM_HIGH = 12_000
LENGTHS_APART_SHARE = 4  # a difference above a quarter of the track is a slip in reading or typing
CLEAR_SDS = 2


def position_of(lengths, thrust: Fraction, spread: Spread) -> dict:
    """Return what lengths say of where the axle sits, beside the thrust read (mdeg, may end in .5).

    `lengths`: `{"track_mm", "wheelbase": {"left", "right"} or null, "diagonals": {"left", "right"} or null, "sd_mm"}`
    in mm, a diagonal named by the front wheel that it begins at; one of the two at least; `sd_mm` may be left out.

    `from` is "wheelbase" or "diagonals"; `axle` and `axle_sd` where the axle heads, `rest` what the thrust read is
    beyond that, `rest_sd` its SD. `verdict`: "axle-askew", the axle accounts for the thrust; "wheels-askew", the axle
    sits square and the wheels on it do not; "both"; "not-told", the lengths are too rough or there is nothing.
    `side_shift_mm` (to the left), `side_shift_sd_mm`, `is_aside`: null without both kinds. Raises InputError.
    """
    track, wheelbase, diagonals, sd = _lengths(lengths)
    axle, axle_sd = (_from_wheelbase if wheelbase else _from_diagonals)(track, wheelbase or diagonals, sd)
    thrust_sd = _at_least_1((spread.toe_sd["left"] ** 2 + spread.toe_sd["right"] ** 2) / 4 + spread.thrust_sd**2)
    is_axle_off = abs(axle) > CLEAR_SDS * axle_sd
    twice_rest = round(2 * thrust) - 2 * axle
    variance = axle_sd * axle_sd + thrust_sd * thrust_sd
    is_rest_there = twice_rest * twice_rest > (2 * CLEAR_SDS) ** 2 * variance
    return {
        "from": "wheelbase" if wheelbase else "diagonals",
        "axle": axle,
        "axle_sd": axle_sd,
        "thrust_sd": thrust_sd,
        "rest": _halved(twice_rest),
        "rest_sd": _at_least_1(variance),
        "verdict": VERDICTS[is_axle_off, is_rest_there],
        **_side_shift(track, wheelbase, diagonals, sd),
    }


VERDICTS = {
    (True, False): "axle-askew",
    (False, True): "wheels-askew",
    (True, True): "both",
    (False, False): "not-told",
}


def swap_of(before: dict, after: dict, spread: Spread) -> dict:
    """Return per angle what the readings with the wheels swapped say; null where a camber was not read.

    `went` with the wheels, `stayed` with hub and axle, in mdeg of left less right (may end in .5), `sd` of each, and
    `verdict`: "wheels", "hub", "both" or "not-told". The SDs of `spread` are those of each reading.
    """
    return {angle: _swapped_angle(angle, before, after, spread) for angle in WHEEL_ANGLES}


def _swapped_angle(angle: str, before: dict, after: dict, spread: Spread) -> dict | None:
    if any(wheels[side][angle] is None for wheels in (before, after) for side in SIDES):
        return None
    was, now = (wheels["left"][angle] - wheels["right"][angle] for wheels in (before, after))
    sds = spread.camber_sd if angle == "camber" else spread.toe_sd
    settled = 0 if angle == "camber" else 2 * spread.thrust_sd**2
    sd = _at_least_1((sds["left"] ** 2 + sds["right"] ** 2) / 2 + settled)
    went, stayed = (abs(apart) > 2 * CLEAR_SDS * sd for apart in (was - now, was + now))
    return {"went": _halved(was - now), "stayed": _halved(was + now), "sd": sd, "verdict": SWAP_VERDICTS[went, stayed]}


SWAP_VERDICTS = {(True, False): "wheels", (False, True): "hub", (True, True): "both", (False, False): "not-told"}


def _lengths(value) -> tuple[int, dict | None, dict | None, float]:
    """Return track, wheelbases and diagonals in tenths of a millimetre, and the SD of one length in the same."""
    check_keys(value, "lengths", ("track_mm", "wheelbase", "diagonals"), ("sd_mm",))
    track = _tenths(value["track_mm"], "lengths.track_mm", TRACK_MM_LOW, TRACK_MM_HIGH)
    pairs = {name: _pair(value[name], f"lengths.{name}", track) for name in ("wheelbase", "diagonals")}
    if not any(pairs.values()):
        raise InputError("lengths.wheelbase", "both wheelbases, or both diagonals", "neither")
    sd = check_number(value.get("sd_mm", LENGTH_SD_MM), "lengths.sd_mm", 0, LENGTH_SD_MM_HIGH)
    return track, pairs["wheelbase"], pairs["diagonals"], 10 * sd


def _pair(value, field: str, track: int) -> dict | None:
    if value is None:
        return None
    check_keys(value, field, SIDES)
    pair = {side: _tenths(value[side], f"{field}.{side}", LENGTH_MM_LOW, LENGTH_MM_HIGH) for side in SIDES}
    if LENGTHS_APART_SHARE * abs(pair["left"] - pair["right"]) > track:
        raise InputError(
            field, "two lengths less than a quarter of the track apart", f"{value['left']:g}, {value['right']:g}"
        )
    if field.endswith("diagonals") and _twice_wheelbase_squared(track, pair) <= 0:
        raise InputError(field, "diagonals longer than the track", f"{value['left']:g}, {value['right']:g}")
    return pair


def _tenths(value, field: str, low: int, high: int) -> int:
    return round_half_away(10 * check_number(value, field, low, high))


def _twice_wheelbase_squared(track: int, diagonals: dict) -> int:
    return diagonals["left"] ** 2 + diagonals["right"] ** 2 - 2 * track**2


def _from_wheelbase(track: int, wheelbase: dict, sd: float) -> tuple[int, int]:
    return _mdeg((wheelbase["right"] - wheelbase["left"]) / track), _sd_mdeg(sd * math.sqrt(2) / track)


def _from_diagonals(track: int, diagonals: dict, sd: float) -> tuple[int, int]:
    squares = diagonals["left"] ** 2 - diagonals["right"] ** 2
    wheelbase = math.sqrt(_twice_wheelbase_squared(track, diagonals) / 2)
    mean = math.sqrt((diagonals["left"] ** 2 + diagonals["right"] ** 2) / 2)
    sine = squares / (2 * wheelbase * track)
    if abs(sine) > 1 / LENGTHS_APART_SHARE:
        raise InputError("lengths.diagonals", "two lengths less than a quarter of the track apart", f"{sine:.2f} of it")
    return _mdeg(sine), _sd_mdeg(sd * math.sqrt(2) * mean / (wheelbase * track))


def _side_shift(track: int, wheelbase: dict | None, diagonals: dict | None, sd: float) -> dict:
    if wheelbase is None or diagonals is None:
        return {"side_shift_mm": None, "side_shift_sd_mm": None, "is_aside": None}
    a, b = diagonals["left"], diagonals["right"]
    left, right = wheelbase["left"], wheelbase["right"]
    shift = round_half_away(Fraction((right**2 - left**2) - (a**2 - b**2), 40 * track))
    reach = math.sqrt((left**2 + right**2 + a**2 + b**2) / 2)
    shift_sd = max(1, round_half_away(sd * math.sqrt(2) * reach / (20 * track)))
    return {"side_shift_mm": shift, "side_shift_sd_mm": shift_sd, "is_aside": abs(shift) > CLEAR_SDS * shift_sd}


def _mdeg(sine: float) -> int:
    return round_half_away(1000 * math.degrees(math.asin(sine)))


def _sd_mdeg(radians: float) -> int:
    return max(1, round_half_away(1000 * math.degrees(radians)))


def _at_least_1(variance: float) -> int:
    return max(1, round_half_away(math.sqrt(variance)))


def _halved(twice: int) -> int | float:
    return twice // 2 if twice % 2 == 0 else twice / 2
