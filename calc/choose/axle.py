"""The axle as a whole: total toe, thrust, cross camber, in numbers and in words, and what pattern of damage they show.

What lengths and swapped wheels tell beside them is askew.py's. Per wheel from total toe and thrust too, because total
toe alone never makes a plan. Must not choose rings.
"""

from fractions import Fraction

from calc.choose.advice import damage_of
from calc.choose.askew import position_of, swap_of
from calc.choose.choose_input import request_from_json, spread_from_json
from calc.numbers.checks import check_integer, check_keys, check_number
from calc.numbers.constants import READING_LIMIT_MDEG
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.numbers.units import round_half_away

_BESIDE = ("windows", "axle", "band", "spread", "lengths", "swapped")


def axle(obj: dict) -> dict:
    """Return `left` and `right` (camber, toe), `total_toe`, `thrust`, `thrust_way`, `cross_camber`, `patterns`,
    `position`, `swap`.

    Input, whole mdeg: `{"left": {"camber", "toe"}, "right": {...}}`, or `{"total_toe", "thrust", "camber": {"left",
    "right"}}`, thrust a multiple of 0.5, positive to the right of the vehicle; a camber that was not read is null.
    `windows`, `axle`, `band` and `spread` as in choosing may be given: then `patterns` are the codes of damage that
    they and the readings show (null without windows or without camber), such as skewed-axle. `lengths` may be given:
    then `position` says whether the axle sits askew or the wheels do; and `swapped`, the readings with the wheels
    swapped from side to side: then `swap` says whether what the sides differ by went with the wheels (askew.py); else
    null.
    `thrust_way` is "to-the-right", "to-the-left" or "straight". Raises InputError naming the field.

    >>> found = axle({"total_toe": 333, "thrust": 83.5, "camber": {"left": None, "right": None}})
    >>> found["left"]["toe"], found["right"]["toe"], found["thrust"], found["thrust_way"]
    (250, 83, 83.5, 'to-the-right')
    """
    wheels = _from_total(obj) if isinstance(obj, dict) and "total_toe" in obj else _from_wheels(obj)
    left, right = wheels["left"], wheels["right"]
    thrust = Fraction(left["toe"] - right["toe"], 2)
    both_cambers = left["camber"] is not None and right["camber"] is not None
    return {
        "left": left,
        "right": right,
        "total_toe": left["toe"] + right["toe"],
        "thrust": int(thrust) if thrust.denominator == 1 else float(thrust),
        "thrust_way": "straight" if thrust == 0 else ("to-the-right" if thrust > 0 else "to-the-left"),
        "cross_camber": left["camber"] - right["camber"] if both_cambers else None,
        "patterns": _patterns(obj, wheels) if both_cambers and obj.get("windows") is not None else None,
        **_beside(obj, wheels, thrust),
    }


def _beside(obj: dict, wheels: dict, thrust: Fraction) -> dict:
    spread = spread_from_json({} if obj.get("spread") is None else obj["spread"], "spread")
    lengths, swapped = obj.get("lengths"), obj.get("swapped")
    return {
        "position": None if lengths is None else position_of(lengths, thrust, spread),
        "swap": None if swapped is None else swap_of(wheels, _read_wheels(swapped, "swapped"), spread),
    }


def wheels_from_total(total_toe: int, thrust: float) -> tuple[int, int]:
    """Return (left, right) toe in mdeg: left = round(total / 2 + thrust), half away from zero; right = the rest.

    >>> wheels_from_total(167, 0)
    (84, 83)
    """
    left = round_half_away(Fraction(total_toe, 2) + Fraction(thrust))
    return left, total_toe - left


def _from_wheels(obj) -> dict:
    check_keys(obj, "", SIDES, _BESIDE)
    return {side: _wheel(obj[side], side) for side in SIDES}


def _read_wheels(value, field: str) -> dict:
    check_keys(value, field, SIDES)
    return {side: _wheel(value[side], f"{field}.{side}") for side in SIDES}


def _wheel(value, field: str) -> dict:
    check_keys(value, field, WHEEL_ANGLES)
    return {
        "camber": _camber(value["camber"], f"{field}.camber"),
        "toe": check_integer(value["toe"], f"{field}.toe", -READING_LIMIT_MDEG, READING_LIMIT_MDEG),
    }


def _from_total(obj) -> dict:
    check_keys(obj, "", ("total_toe", "thrust"), ("camber", *_BESIDE))
    total = check_integer(obj["total_toe"], "total_toe", -2 * READING_LIMIT_MDEG, 2 * READING_LIMIT_MDEG)
    thrust = check_number(obj["thrust"], "thrust", -READING_LIMIT_MDEG, READING_LIMIT_MDEG)
    if thrust * 2 != int(thrust * 2):
        raise InputError("thrust", "whole or half mdeg", f"{thrust:g}")
    cambers = obj.get("camber") or {"left": None, "right": None}
    check_keys(cambers, "camber", SIDES)
    toes = dict(zip(SIDES, wheels_from_total(total, thrust), strict=True))
    for toe in toes.values():
        if abs(toe) > READING_LIMIT_MDEG:
            raise InputError(
                "thrust", f"a total and thrust that leave each wheel within {READING_LIMIT_MDEG}", str(toe)
            )
    return {side: {"camber": _camber(cambers[side], f"camber.{side}"), "toe": toes[side]} for side in SIDES}


def _camber(value, field: str) -> int | None:
    return None if value is None else check_integer(value, field, -READING_LIMIT_MDEG, READING_LIMIT_MDEG)


def _patterns(obj: dict, wheels: dict) -> list[str]:
    """Return the codes of the damage that readings and windows show, by the rules behind choosing's advice."""
    no_axle = {"total_toe": None, "thrust": None, "cross_camber": None}
    request = request_from_json(
        {
            "ring_sets": [],
            "wheels": {side: {**wheels[side], "rings": "no"} for side in SIDES},
            "windows": obj["windows"],
            "axle": no_axle if obj.get("axle") is None else obj["axle"],
            "band": {} if obj.get("band") is None else obj["band"],
            "spread": {} if obj.get("spread") is None else obj["spread"],
        }
    )
    return [code for code, applies in damage_of(request).items() if applies]
