"""Checks that turn outside input into clean values, or raise InputError naming the field.

Every check takes the value and the path of its field, and returns the value. None of them repairs or clamps.
"""

import math

from calc.numbers.errors import InputError

_SHOWN_CHARACTERS = 60  # enough to recognise the value, short enough for one line on a phone


def shown(value) -> str:
    """Return the value as one short line for an error text."""
    text = " ".join(repr(value).split())
    return text if len(text) <= _SHOWN_CHARACTERS else text[: _SHOWN_CHARACTERS - 1] + "…"


def check_integer(value, field: str, low: int, high: int) -> int:
    """Return `value` if it is a whole number from `low` to `high`; a bool or 2.0 is not one."""
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise InputError(field, f"a whole number from {low} to {high}" if low < high else str(low), shown(value))
    return value


def check_number(value, field: str, low: float, high: float) -> float:
    """Return `value` as float if it is a finite number from `low` to `high`."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number or not math.isfinite(value) or not low <= value <= high:
        raise InputError(field, f"a number from {low:g} to {high:g}", shown(value))
    return float(value)


def check_text(value, field: str, longest: int = 200) -> str:
    """Return `value` if it is text of 1 to `longest` characters."""
    if not isinstance(value, str) or not 1 <= len(value) <= longest:
        raise InputError(field, f"text of 1 to {longest} characters", shown(value))
    return value


def check_choice(value, field: str, choices: tuple[str, ...]) -> str:
    """Return `value` if it is one of `choices`."""
    if not isinstance(value, str) or value not in choices:
        raise InputError(field, "one of " + ", ".join(choices), shown(value))
    return value


def check_list(value, field: str, shortest: int, longest: int) -> list:
    """Return `value` if it is a list with `shortest` to `longest` items."""
    if not isinstance(value, list) or not shortest <= len(value) <= longest:
        raise InputError(field, f"a list of {shortest} to {longest} items", shown(value))
    return value


def check_keys(value, field: str, required: tuple[str, ...], optional: tuple[str, ...] = ()) -> dict:
    """Return `value` if it is an object with all `required` keys and none beyond `optional`."""
    where = field or "input"
    if not isinstance(value, dict):
        raise InputError(where, "an object", shown(value))
    for key in value:
        if key not in required and key not in optional:
            known = ", ".join(required + optional)
            raise InputError(_path(field, _key_shown(key)), f"one of {known}", "an unknown key")
    for key in required:
        if key not in value:
            raise InputError(_path(field, key), "a value", "nothing")
    return value


def _path(field: str, key: str) -> str:
    return f"{field}.{key}" if field else key


def _key_shown(key: str) -> str:
    """Return a foreign key as part of a path: one line, short, and never nothing."""
    line = " ".join(key.split())[:_SHOWN_CHARACTERS]
    return line if line else repr(key[:_SHOWN_CHARACTERS])
