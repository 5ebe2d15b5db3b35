"""How the desk says angles, pairs, times and states: in words, never by colour or a bare sign. It looks nothing up."""

from datetime import datetime
from fractions import Fraction

from calc.numbers.quantities import sign_word_of
from calc.numbers.units import round_half_away, text_from_mdeg
from server import shop_time
from server.desk.words.phone_words import say
from server.limits import CLOCK_NOTICED_MS

STATES = {"open": say("ui.state.open"), "stopped": "Stopped", "signed": say("ui.state.signed"), "erased": "Erased"}
_HALF_SHOWN = 5
_SURE = 0.95  # beyond this, and below its rest, an estimate is no number any more, as the phone has it (plan-table.js)


def degrees(mdeg: float) -> str:
    """Return the size without its sign, in hundredths, halves away from zero; below half of one, thousandths.

    The same rule as the phone's (pwa/js/ui/words/angle-words.js): what is not zero is never said to be.
    """
    size = abs(Fraction(mdeg))
    return text_from_mdeg(round_half_away(size) if size < _HALF_SHOWN else round_half_away(size / 10) * 10, "deg")


def angle(mdeg: float | None, quantity: str) -> str:
    """Return such as "0.33° toe‑in". A thrust may end in half a mdeg."""
    if mdeg is None:
        return say("report.not-read")
    if mdeg == 0:
        return f"{degrees(0)}°"
    return f"{degrees(mdeg)}° {_way(mdeg, quantity)}"


def _way(mdeg: float, quantity: str) -> str:
    return say(f"ui.said.{sign_word_of(quantity, mdeg)}")


def outside(mdeg: float | None, window: list[int | None] | None) -> float:
    """Return how far outside its window an angle is, with its sign; 0 inside and where one of the two is missing."""
    if mdeg is None or window is None:
        return 0
    low, high = window
    if high is not None and mdeg > high:
        return mdeg - high
    return 0 if low is None else min(mdeg - low, 0)


def standing(mdeg: float | None, window: list[int | None] | None, quantity: str) -> str:
    """Return "inside", "outside by 0.12°, too far out", or nothing where there is no reading or no window."""
    if mdeg is None or window is None:
        return ""
    excess = outside(mdeg, window)
    return say("ui.outside", by=f"{degrees(excess)}°", way=_way(excess, quantity)) if excess else say("ui.inside")


def window(edges: list[int | None] | None, quantity: str) -> str:
    if edges is None:
        return "none given"
    if None in edges:
        low, high = edges
        return open_side(angle(low if high is None else high, quantity), quantity, high is None)
    low, high = ((mdeg, f"{degrees(mdeg)}°") for mdeg in edges)
    return between(low, high, quantity)


def open_side(edge: str, quantity: str, is_open_upwards: bool) -> str:
    """Return "1.50° top in, or further top out": the one edge of a window that is open on the other side."""
    return say("ui.window.open-side", edge=edge, way=_way(1 if is_open_upwards else -1, quantity))


def between(low: tuple[float, str], high: tuple[float, str], quantity: str) -> str:
    """Return "0.50° to 1.50° top in" from mdeg and size in words of each edge: the way once where it is the same."""
    if low == high:
        return low[1] if low[0] == 0 else f"{low[1]} {_way(low[0], quantity)}"
    if low[0] < 0 < high[0]:
        edges = (f"{size} {_way(mdeg, quantity)}" for mdeg, size in (low, high))
        return say("ui.window.between", **dict(zip(("low", "high"), edges, strict=True)))
    first, last = (high, low) if low[0] < 0 else (low, high)
    return say("ui.window.one-way", low=first[1], high=last[1], way=_way(last[0], quantity))


def chance(share: float) -> str:
    """Return such as "about 9 in 10"; never certain, never hopeless, for a number that is an estimate."""
    if share > _SURE:
        return say("ui.chance.high")
    if share < 1 - _SURE:
        return say("ui.chance.low")
    return say("ui.chance", tenths=round_half_away(Fraction(share) * 10))


def ago(ms: int) -> str:
    """Return how long that is, in the largest unit of which there are two: "90 minutes", "5 hours", "3 days"."""
    minutes = max(ms, 0) // 60_000
    for name, size in (("days", 1440), ("hours", 60)):
        if minutes >= 2 * size:
            return f"{minutes // size} {name}"
    return "less than 2 minutes" if minutes < 2 else f"{minutes} minutes"


def server_time(ms: int) -> str:
    return shop_time.shown(ms)


def phone_time(at: str, received_ms: int) -> str:
    """Return the phone's own claim, to the minute, with its zone; one that lies after its arrival here is marked."""
    day, _, rest = at.partition("T")
    zone = rest[-6:] if rest[-6:-5] in ("+", "-") else "UTC"
    mark = " (clock ahead)" if _is_ahead(at, received_ms) else ""
    return f"{day} {rest[:5]} {zone}{mark}"


def _is_ahead(at: str, received_ms: int) -> bool:
    try:
        claimed_ms = datetime.fromisoformat(at).timestamp() * 1000
    except (ValueError, OverflowError):
        return not at.startswith("-")  # a year of more than four digits
    return claimed_ms > received_ms + CLOCK_NOTICED_MS
