"""Judge a typed tightening torque. Must never offer one: it gives a word, no torque, force or limit leaves it.

The torque comes from the vehicle's service information. All that is asked here is whether the typed figure can be
meant for this thread and class, so that a slip (lbf·ft typed as N·m, a digit lost) is seen.
"""

from calc.fit.threads import Thread, proof_load_n
from calc.numbers.checks import check_choice, check_keys, check_number, check_text
from calc.numbers.rounding import to_decimals

# 0.3048 m × 4.4482216152605 N: the international foot and pound-force are exact by definition (NIST SP 811, B.8).
NM_PER_LBF_FT = 1.3558179483314004

# Preload = torque / (K d). K from anti-seize 0.12 to zinc-plated 0.20: Shigley's Mechanical Engineering Design,
# table 8-15, p. 439. Usual preload from half the proof load (common practice, no source) to 0.9 of it, the same book's
# limit for joints that are not taken apart (from memory).
_K_LOWEST, _K_HIGHEST = 0.12, 0.20
_PROOF_SHARE_LOWEST, _PROOF_SHARE_HIGHEST = 0.50, 0.90


def newton_metres(value: float, unit: str) -> float:
    """Return a torque in N·m from `unit` "N·m" or "lbf·ft"."""
    return value * NM_PER_LBF_FT if unit == "lbf·ft" else value


def judge_torque(torque_nm: float, thread: Thread, property_class: str) -> str:
    """Return "low", "usual" or "high" for a torque in N·m on a thread of a property class.

    low: even the slipperiest usual thread stays under half the proof load. high: even a dry plated thread is
    taken beyond 0.9 of the proof load.
    """
    proof_nm = proof_load_n(thread, property_class) * thread.diameter_mm / 1000
    if torque_nm < _K_LOWEST * _PROOF_SHARE_LOWEST * proof_nm:
        return "low"
    return "high" if torque_nm > _K_HIGHEST * _PROOF_SHARE_HIGHEST * proof_nm else "usual"


def torque_from_json(obj, field: str) -> dict:
    """Return `{"value", "unit", "source", "angle_deg"}` checked; a torque without a source is refused."""
    check_keys(obj, field, ("value", "unit", "source"), ("angle_deg",))
    angle = obj.get("angle_deg")
    return {
        "value": check_number(obj["value"], f"{field}.value", 0.1, 1000),
        "unit": check_choice(obj["unit"], f"{field}.unit", ("N·m", "lbf·ft")),
        "source": check_text(obj["source"], f"{field}.source"),
        "angle_deg": None if angle is None else check_number(angle, f"{field}.angle_deg", 1, 360),
    }


def torque_report(torque: dict, thread: Thread | None, property_class: str | None) -> dict:
    """Return `{"nm", "judged", "why"}` for a checked torque; judged is null where no judgement is possible.

    A torque followed by an angle is only a snug torque, so it is not judged.
    """
    newton_m = newton_metres(torque["value"], torque["unit"])
    why = None
    if torque["angle_deg"] is not None:
        why = "followed-by-an-angle"
    elif thread is None or property_class is None:
        why = "thread-or-class-not-given"
    judged = None if why else judge_torque(newton_m, thread, property_class)
    return {"nm": to_decimals(newton_m, 1), "judged": judged, "why": why}
