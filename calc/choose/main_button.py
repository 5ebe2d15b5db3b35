"""What may stand on a main button beside a choice: the recommended plan, or what a careful person does first."""

from calc.numbers.sides import SIDES

LEAST_CHANCE = 0.5


def main_button(chosen: dict) -> dict:
    """Return `{"action", "wheels"}` for an output of `choose`.

    `action` is "read-again" with the wheels to be read again; "look-for-cause" where the recommended plan's chance is
    below 1 in 2 and reading again is not asked for; else "take-plan", and only then may the recommended plan stand on
    a main button. A plan decides about both wheels, so either wheel's reading keeps it back. All else that the advice
    asks stands apart from this.

    >>> main_button({"advice": ["reread-left"], "plans": [{"chance": 0.9}]})
    {'action': 'read-again', 'wheels': ['left']}
    """
    again = [side for side in SIDES if f"reread-{side}" in chosen["advice"]]
    if again:
        return {"action": "read-again", "wheels": again}
    is_likely = chosen["plans"][0]["chance"] >= LEAST_CHANCE
    return {"action": "take-plan" if is_likely else "look-for-cause", "wheels": []}
