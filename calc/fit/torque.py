"""Judge a typed tightening torque. Must never offer one: it gives a word, no torque, force or limit leaves it.

The torque comes from the vehicle's service information. All that is asked here is whether the typed figure can be
meant for this thread and class. A lost digit is seen: usual torques of one thread lie within three times each other. A
wrong unit mostly is not, for a lbf·ft is only 1.36 N·m: see unit_that_fits. So a person says the unit by name, as the
source prints it; what is low or usual in one unit alone is questioned.
"""

from calc.fit.threads import Thread, proof_load_n
from calc.numbers.checks import check_choice, check_keys, check_number, check_text
from calc.numbers.rounding import to_decimals

# 0.3048 m × 4.4482216152605 N: the international foot and pound-force are exact by definition (NIST SP 811, B.8).
NM_PER_LBF_FT = 1.3558179483314004

# unit -> its name, by which a person says what the source prints behind the figure
TORQUE_UNIT_NAMES = {"N·m": "newton-metres", "lbf·ft": "pound-force-feet"}

# Preload = torque / (K d). K from anti-seize 0.12 to zinc-plated 0.20: Shigley's Mechanical Engineering Design,
# table 8-15, p. 439. Usual preload from half the proof load (common practice, no source) to 0.9 of it, the same book's
# limit for joints that are not taken apart (from memory).
NUT_FACTOR_LOWEST = 0.12
NUT_FACTOR_HIGHEST = 0.20
PROOF_SHARE_LOWEST = 0.50
PROOF_SHARE_HIGHEST = 0.90


def newton_metres(value: float, unit: str) -> float:
    """Return a torque in N·m from `unit` "N·m" or "lbf·ft"."""
    return value * NM_PER_LBF_FT if unit == "lbf·ft" else value


def judge_torque(torque_nm: float, thread: Thread, property_class: str) -> str:
    """Return "low", "usual" or "high" for a torque in N·m on a thread of a property class.

    low: even the slipperiest usual thread stays under half the proof load. high: even a dry plated thread is
    taken beyond 0.9 of the proof load.
    """
    proof_nm = proof_load_n(thread, property_class) * thread.diameter_mm / 1000
    if torque_nm < NUT_FACTOR_LOWEST * PROOF_SHARE_LOWEST * proof_nm:
        return "low"
    return "high" if torque_nm > NUT_FACTOR_HIGHEST * PROOF_SHARE_HIGHEST * proof_nm else "usual"


def unit_that_fits(value: float, unit: str, thread: Thread, property_class: str) -> str:
    """Return in which unit a figure is usual: "typed", "other", "either" or "neither".

    "other" is a slip that can be told. Of torques spread evenly over all that are usual it is 18 in 100 where lbf·ft
    were typed as N·m and 39 in 100 where N·m were typed as lbf·ft; of those in the middle, 0.75 of the proof load at
    K 0.15 to 0.17, none. None that is usual as it was meant comes out as "other" (tests/calc/test_torque_unit.py).

    >>> [unit_that_fits(value, "N·m", Thread(10.0, 1.5), "10.9") for value in (25, 50, 85, 200)]
    ['other', 'either', 'typed', 'neither']
    """
    other = "lbf·ft" if unit == "N·m" else "N·m"
    typed_fits, other_fits = (
        judge_torque(newton_metres(value, each), thread, property_class) == "usual" for each in (unit, other)
    )
    if typed_fits:
        return "either" if other_fits else "typed"
    return "other" if other_fits else "neither"


def unit_question(torque: dict, thread: Thread | None, property_class: str | None) -> dict:
    """Return `{"fits", "named", "to_be_named"}` for a checked torque.

    `fits`: see unit_that_fits, null where no judgement is possible. `named`: "confirmed" where the name that a person
    read in the source is that of the typed unit, "differs" where it is the other's, null while nobody said it.
    `to_be_named`: whether a person has to say it (again) before the torque is gone by. No figure spares that: a torque
    may be meant outside what is usual.
    """
    can_judge = torque["angle_deg"] is None and thread is not None and property_class is not None
    fits = unit_that_fits(torque["value"], torque["unit"], thread, property_class) if can_judge else None
    name = torque["unit_named"]
    named = None if name is None else "confirmed" if name == TORQUE_UNIT_NAMES[torque["unit"]] else "differs"
    return {"fits": fits, "named": named, "to_be_named": named != "confirmed"}


def torque_from_json(obj, field: str) -> dict:
    """Return `{"value", "unit", "source", "angle_deg", "unit_named"}` checked; a torque without a source is refused.

    `unit_named`: the name of the unit as a person read it in the source, null or left out while nobody did.
    """
    check_keys(obj, field, ("value", "unit", "source"), ("angle_deg", "unit_named"))
    angle, named = obj.get("angle_deg"), obj.get("unit_named")
    names = tuple(TORQUE_UNIT_NAMES.values())
    return {
        "value": check_number(obj["value"], f"{field}.value", 0.1, 1000),
        "unit": check_choice(obj["unit"], f"{field}.unit", tuple(TORQUE_UNIT_NAMES)),
        "source": check_text(obj["source"], f"{field}.source"),
        "angle_deg": None if angle is None else check_number(angle, f"{field}.angle_deg", 1, 360),
        "unit_named": None if named is None else check_choice(named, f"{field}.unit_named", names),
    }


def torque_report(torque: dict, thread: Thread | None, property_class: str | None) -> dict:
    """Return `{"nm", "judged", "why", "unit"}` for a checked torque; judged is null where no judgement is possible.

    `unit`: see unit_question. A torque followed by an angle is only a snug torque, so it is not judged.
    """
    newton_m = newton_metres(torque["value"], torque["unit"])
    why = None
    if torque["angle_deg"] is not None:
        why = "followed-by-an-angle"
    elif thread is None or property_class is None:
        why = "thread-or-class-not-given"
    judged = None if why else judge_torque(newton_m, thread, property_class)
    unit = unit_question(torque, thread, property_class)
    return {"nm": to_decimals(newton_m, 1), "judged": judged, "why": why, "unit": unit}
