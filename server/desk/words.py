"""How the desk says angles, pairs, times and states: in words, never by colour or a bare sign. It looks nothing up."""

from datetime import UTC, datetime
from fractions import Fraction

from calc.units import round_half_away, text_from_mdeg

# quantity -> (positive way, negative way), as on the phone
_WAYS = {
    "camber": ("top out", "top in"),
    "toe": ("in", "out"),
    "total-toe": ("in", "out"),
    "thrust": ("to the right", "to the left"),
    "cross-camber": ("left more", "left less"),
}
STATES = {"open": "○ Open", "stopped": "■ Stopped", "signed": "✓ Signed", "erased": "□ Erased"}


def degrees(mdeg: float) -> str:
    """Return the size without its sign, to whole mdeg, halves away from zero."""
    return text_from_mdeg(abs(round_half_away(Fraction(mdeg))), "deg")


def angle(mdeg: float | None, quantity: str) -> str:
    """Return such as "0.33° in", with its sign: without it "in" reads as inches. A thrust may end in half a mdeg."""
    if mdeg is None:
        return "not read"
    if mdeg == 0:
        return f"{degrees(0)}°"
    return f"{degrees(mdeg)}° {_WAYS[quantity][mdeg < 0]}"


def standing(mdeg: float | None, window: list[int] | None) -> str:
    """Return "inside", "outside by 0.12°", or nothing where there is no reading or no window."""
    if mdeg is None or window is None:
        return ""
    low, high = window
    outside = max(low - mdeg, mdeg - high, 0)
    return f"outside by {degrees(outside)}°" if outside else "inside"


def window(edges: list[int] | None, quantity: str) -> str:
    if edges is None:
        return "none given"
    return f"{angle(edges[0], quantity)} to {angle(edges[1], quantity)}"


def chance(share: float) -> str:
    """Return such as "about 9 in 10"; never certain, never hopeless, for a number that is an estimate."""
    tenths = round_half_away(Fraction(share) * 10)
    if tenths >= 10:
        return "more than 9 in 10"
    return f"about {tenths} in 10" if tenths else "less than 1 in 10"


def server_time(ms: int) -> str:
    return datetime.fromtimestamp(ms / 1000, UTC).strftime("%Y-%m-%d %H:%M UTC")


def phone_time(at: str) -> str:
    """Return the phone's own claim, to the minute, with its zone."""
    day, _, rest = at.partition("T")
    zone = rest[-6:] if rest[-6:-5] in ("+", "-") else "UTC"
    return f"{day} {rest[:5]} {zone}"
