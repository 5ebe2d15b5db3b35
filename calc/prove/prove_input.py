"""The input of `prove` as checked, frozen values. It computes nothing.

`{"ring_set", "wheel", "pair", "base", "check"}` and, where known, `spread` (as in choosing), `bolts`, `droop_deg`
(null unknown, 0 ruled out), `toe_units`, `other` and `choose`:

- `toe_units`: `{"base", "check"}`, the unit in which toe was typed there, null where it is not known or not one.
- `other`: `{"wheel": {"ring_set", "pair", "base", "check"}, "ring_sets": [...], "old_rings": {"ring_set", "pair"}}`,
  each of them may be left out or null: the other wheel's fitting (its `base` and `check` may be null), the shop's
  other ring sets, and the rings that may still have been in at the base reading.
- `choose`: an input of `choose`, for the second pass; this wheel's camber and toe in it are replaced.
"""

from calc.choose.choose_input import spread_from_json
from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_number
from calc.numbers.constants import READING_LIMIT_MDEG
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.numbers.units import UNITS
from calc.prove.explain import ReadingSpread
from calc.prove.wheel_facts import Other, Reading, WheelFacts
from calc.rings.bolt_pattern import bolts_from_json
from calc.rings.rings import RingSet, pair_from_json

MOST_RING_SETS = 50


def wheel_facts_from_json(obj) -> tuple[str, WheelFacts, ReadingSpread]:
    """Return (wheel, facts, spread of that wheel). Raises InputError naming the field; unknown keys are an error."""
    required = ("ring_set", "wheel", "pair", "base", "check")
    check_keys(obj, "", required, ("spread", "bolts", "droop_deg", "toe_units", "other", "choose"))
    wheel = check_choice(obj["wheel"], "wheel", SIDES)
    ring_set = RingSet.from_json(obj["ring_set"])
    droop = obj.get("droop_deg")
    facts = WheelFacts(
        ring_set=ring_set,
        pair=pair_from_json(obj["pair"], ring_set, "pair"),
        base=_reading(obj["base"], "base"),
        check=_reading(obj["check"], "check"),
        bolts=tuple(bolts_from_json(obj.get("bolts") or [], "bolts")),
        droop_deg=None if droop is None else check_number(droop, "droop_deg", 0, 60),
        other=_other(obj.get("other"), "other"),
        toe_units=_toe_units(obj.get("toe_units")),
    )
    return wheel, facts, _spread(obj.get("spread") or {}, wheel)


def _reading(obj, field: str) -> Reading:
    check_keys(obj, field, WHEEL_ANGLES)
    return Reading(
        *(check_integer(obj[key], f"{field}.{key}", -READING_LIMIT_MDEG, READING_LIMIT_MDEG) for key in WHEEL_ANGLES)
    )


def _toe_units(obj) -> dict[str, str | None]:
    if obj is None:
        return {"base": None, "check": None}
    check_keys(obj, "toe_units", ("base", "check"))
    return {key: None if unit is None else check_choice(unit, f"toe_units.{key}", UNITS) for key, unit in obj.items()}


def _fitting(obj, field: str) -> tuple[RingSet, tuple[int, int]]:
    ring_set = RingSet.from_json(obj["ring_set"], f"{field}.ring_set")
    return ring_set, pair_from_json(obj["pair"], ring_set, f"{field}.pair")


def _other(obj, field: str) -> Other | None:
    if obj is None:
        return None
    check_keys(obj, field, (), ("wheel", "ring_sets", "old_rings"))
    wheel, old = obj.get("wheel"), obj.get("old_rings")
    ring_sets = check_list(obj.get("ring_sets") or [], f"{field}.ring_sets", 0, MOST_RING_SETS)
    if wheel is not None:
        check_keys(wheel, f"{field}.wheel", ("ring_set", "pair"), ("base", "check"))
    if old is not None:
        check_keys(old, f"{field}.old_rings", ("ring_set", "pair"))
    readings = {
        key: None if wheel is None or wheel.get(key) is None else _reading(wheel[key], f"{field}.wheel.{key}")
        for key in ("base", "check")
    }
    return Other(
        fitting=None if wheel is None else _fitting(wheel, f"{field}.wheel"),
        ring_sets=tuple(RingSet.from_json(item, f"{field}.ring_sets[{k}]") for k, item in enumerate(ring_sets)),
        old_rings=None if old is None else _fitting(old, f"{field}.old_rings"),
        **readings,
    )


def _spread(obj, wheel: str) -> ReadingSpread:
    """Return one wheel's spread. A reading without any spread cannot be weighed, so its SD is at least 1 mdeg."""
    spread = spread_from_json(obj, "spread")
    sds = {"camber_sd": spread.camber_sd[wheel], "toe_sd": spread.toe_sd[wheel]}
    for key, sd in sds.items():
        if sd < 1:
            raise InputError(f"spread.{key}.{wheel}", "at least 1 to weigh causes by", f"{sd:g}")
    return ReadingSpread(
        **sds, clock_sd_deg=spread.clock_sd_deg, mark_sd_steps=spread.mark_sd_steps, seat_sd=spread.seat_sd
    )
