"""How the desk says what a person typed: in its own text and unit, a window in the same form as one in degrees."""

from calc.numbers.quantities import SIGN_WORDS
from calc.numbers.units import minutes_typed
from server.desk.words import words

_UNITS = {"deg": "°", "mm": " mm", "inch": "″"}
_SYMBOLS = " °º″\"'"


def angle(given) -> str:
    """Return an angle as it was typed: "3.1 mm in at 432 mm"."""
    if not isinstance(given, dict):
        return "no angle"
    way = str(given.get("way") or "").replace("top-", "top ")
    return " ".join(part for part in (_number(given), way, _across(given)) if part)


def window(low, high, quantity: str) -> str:
    """Return such as "0.50° to 1.50° top in"; edges of different units or diameters keep their own."""
    edges = (low, high)
    if quantity in SIGN_WORDS and [isinstance(edge, dict) for edge in edges].count(True) == 1 and None in edges:
        return words.open_side(angle(low or high), quantity, high is None)
    is_known = quantity in SIGN_WORDS and all(isinstance(e, dict) and isinstance(e.get("mdeg"), int) for e in edges)
    if not is_known or any(low.get(name) != high.get(name) for name in ("unit", "diameter_mm")):
        return f"{angle(low)} to {angle(high)}"
    said = words.between((low["mdeg"], _number(low)), (high["mdeg"], _number(high)), quantity)
    return " ".join(part for part in (said, _across(high)) if part)


def _number(given: dict) -> str:
    text, unit = str(given.get("text", "")).strip(), str(given.get("unit"))
    if unit == "deg-min":
        degrees, minutes = minutes_typed(text)
        return "".join((f"{degrees}°" if degrees else "", f"{minutes}'" if minutes else "")) or text
    bare = text.removesuffix("mm").removesuffix("in").rstrip(_SYMBOLS)
    return f"{bare}{_UNITS.get(unit, '')}"


def _across(given: dict) -> str:
    return f"at {given['diameter_mm']} mm" if given.get("diameter_mm") else ""
