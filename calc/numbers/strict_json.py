"""JSON in, strictly; JSON out, in one canonical form. It knows nothing of what the objects mean."""

import json
import math
import re

from calc.numbers.checks import shown
from calc.numbers.errors import InputError

DEEPEST = 40  # twice what any input of calc needs; far below Python's own limit, whose error has no position
_STRING = re.compile(rb'"(?:[^"\\]|\\.)*"', re.DOTALL)


def object_from_bytes(raw: bytes) -> dict:
    """Return the JSON object in `raw`.

    Raises InputError (field `input`, or the doubled key) for bytes that are not UTF-8, text that is not JSON or is cut
    off, a value that is not an object, NaN or Infinity, a number too large for a double, a key that comes twice, half
    a surrogate pair, and nesting beyond DEEPEST.

    >>> object_from_bytes(b'{"a": 1}')
    {'a': 1}
    """
    try:
        text = raw.decode("utf-8-sig")  # some shells put a byte order mark before what they pipe
    except UnicodeDecodeError as error:
        raise InputError("input", "UTF-8 text", f"byte 0x{raw[error.start]:02x} at position {error.start}") from None
    _check_depth(raw)
    try:
        value = json.loads(
            text, object_pairs_hook=_object, parse_constant=_refuse_constant, parse_float=_float, parse_int=_int
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        got = "nothing" if not text.strip() else f"text that stops making sense at {where}"
        raise InputError("input", "one complete JSON object", got) from None
    if not isinstance(value, dict):
        raise InputError("input", "one complete JSON object", shown(value))
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise InputError("input", "whole characters", "half of a surrogate pair") from None
    return value


def bytes_from_object(value: dict) -> bytes:
    """Return the canonical bytes: UTF-8, no spaces, keys in the order given. Raises ValueError for NaN or Infinity."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def _check_depth(raw: bytes) -> None:
    """Raise InputError if brackets outside strings nest too deep, before the parser recurses into them."""
    depth = 0
    for byte in _STRING.sub(b"", raw):
        depth += (byte in b"[{") - (byte in b"]}")
        if depth > DEEPEST:
            raise InputError("input", f"at most {DEEPEST} levels of brackets", "more")


def _object(pairs: list) -> dict:
    """Return the pairs as a dict; a key that comes twice would silently lose its first value."""
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        doubled = next(key for key in keys if keys.count(key) > 1)
        raise InputError(shown(doubled), "each key once", "the key twice")
    return found


def _refuse_constant(name: str):
    raise InputError("input", "finite numbers", name)


def _float(digits: str) -> float:
    number = float(digits)
    if not math.isfinite(number):
        raise InputError("input", "finite numbers", shown(digits))
    return number


def _int(digits: str) -> int:
    """Return the whole number; one that no double holds is refused here, long before it could slow anything down."""
    if len(digits) > 300:
        raise InputError("input", "numbers of at most 300 digits", f"{len(digits)} digits")
    return int(digits)
