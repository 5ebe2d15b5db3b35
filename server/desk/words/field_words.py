"""What a field holds beyond plain text, in words: bolts, lugs, pressures, a level, and any other object in short.

It hides nothing of what it does not know and never fails on it: an entry may come from another program. No Flask.
"""

import math
from itertools import pairwise

from server.desk.words.hold_words import bolt_length
from server.desk.words.phone_words import say
from server.desk.words.picture_words import picture_words
from server.records.picture_reading import is_picture_read
from server.records.recheck import SOURCES, distance_words

_LONGEST = 400  # characters of an object that is not known; the export has the whole of it
_METALS = {"steel": "steel", "iron": "cast iron", "aluminium": "aluminium"}
_EVEN_DEG = 0.1  # bolts this close to evenly spaced were typed as a circle
_EVEN_MM = 0.01


def words_of(given: dict, item) -> str:
    """Say an object in words. `item`: says one key or plain value of the checklist's own."""
    for key, known in _KNOWN.items():
        if key in given:
            try:
                return known(given if key in ("outcome", "recheck_of") else given[key])
            except (KeyError, TypeError, ValueError, AttributeError):
                break  # not as this program writes it: shown as any other object
    words = _pairs(given, item)
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 1]}…"


def _pairs(part, item) -> str:
    if isinstance(part, dict):
        return "; ".join(f"{item(key)}: {_inner(inner, item)}" for key, inner in part.items()) or "nothing"
    if isinstance(part, list):
        return ", ".join(_inner(each, item) for each in part) or "nothing"
    if part is None or isinstance(part, bool):
        return {None: "none", True: "yes", False: "no"}[part]
    return str(item(part))


def _inner(part, item) -> str:
    words = _pairs(part, item)
    return f"({words})" if isinstance(part, dict | list) and part else words


def _bolts(bolts: dict) -> str:
    """Such as "circle of 4, 100 mm; M10 x 1.5, class 10.9; screwed in 18 mm, into steel"."""
    thread, metal = bolts.get("thread"), bolts.get("metal")
    kind = [f"M{_number(thread['diameter_mm'])} x {_number(thread['pitch_mm'])}"] if thread else []
    kind += [f"class {bolts['class']}"] if bolts.get("class") else []
    said = [_places(bolts["at"], "bolt"), ", ".join(kind)]
    said += _sizes(bolts, ("engaged_mm", "screwed in {} mm"), ("turns", "screwed in {} turns"))
    said += [f"into {_METALS.get(metal, metal)}"] if metal else []
    said += _sizes(
        bolts, ("blind_depth_mm", "closed holes, {} mm of thread"), ("nut_height_mm", "studs, nuts {} mm high")
    )
    return "; ".join(part for part in said if part)


def _bracket(bracket: dict) -> str:
    """Such as "2 lugs: 95 mm at 70°, 95 mm at 110°; spacers in stock: 10 of 2 mm; screwed in 16 mm"."""
    stock = [f"{_number(each['quantity'])} of {_number(each['thickness_mm'])} mm" for each in bracket.get("stock", [])]
    said = [_listed(bracket["lugs"], "lug"), f"spacers in stock: {', '.join(stock) or 'none'}"]
    return "; ".join(said + _sizes(bracket, ("engaged_mm", "screwed in {} mm")))


def _pressures(pressures: dict) -> str:
    """Such as "placard: front 2.3, rear 2.1 to 2.3; found: rear left 1.9; in bar"; what was not typed is left out."""
    said = [f"{part}: {_figures(pressures[part])}" for part in ("placard", "found", "set")]
    return "; ".join([*(words for words in said if not words.endswith(": ")), f"in {pressures['unit']}"])


def _figures(figures: dict) -> str:
    typed = {place.replace("-", " "): figure for place, figure in figures.items() if figure is not None}
    return ", ".join(f"{place} {_figure(figure)}" for place, figure in typed.items())


def _figure(figure) -> str:
    edges = sorted(set(figure if isinstance(figure, list) else [figure]))
    return " to ".join(map(_number, edges))


def _recheck(recheck: dict) -> str:
    """Such as "after 80 km; by 2026-12-24; service information, page 12"."""
    said = [distance_words(recheck.get("distance")), f"by {recheck['day']}" if recheck.get("day") else ""]
    source = SOURCES.get(recheck.get("source")) or say("recheck.source.none")
    said += [f"{source}, {recheck['page']}" if recheck.get("page") else source]
    return "; ".join(part for part in said if part)


def _level(angle_deg) -> str:
    return f"level held at {_number(angle_deg)}°"


def _turn(turn_deg) -> str:
    size = _number(abs(turn_deg))
    return f"turned {size}° towards the {'rear' if turn_deg > 0 else 'front'}" if turn_deg else "not turned"


def _sizes(given: dict, *names: tuple[str, str]) -> list[str]:
    return [words.format(_number(given[name])) for name, words in names if given.get(name) is not None]


def _places(at: list, what: str) -> str:
    if not at:
        return f"no {what} given"
    radii, clocks = [radius for radius, _ in at], [clock for _, clock in at]
    step = 360 / len(at)
    is_round = max(radii) - min(radii) <= _EVEN_MM
    is_even = all(abs((after - before) % 360 - step) <= _EVEN_DEG for before, after in pairwise(clocks))
    if not (is_round and is_even and len(at) > 1):
        return _listed(at, what)
    first = f", the first at {_number(clocks[0])}°" if clocks[0] else ""
    return f"circle of {len(at)}, {_number(2 * radii[0])} mm{first}"


def _listed(at: list, what: str) -> str:
    places = ", ".join(f"{_number(radius)} mm at {_number(clock)}°" for radius, clock in at)
    return f"{len(at)} {what}{'s' if len(at) != 1 else ''}: {places}"


def _number(part) -> str:
    """TypeError, ValueError: no finite number."""
    if isinstance(part, bool) or not math.isfinite(part):
        raise ValueError(part)
    return f"{part:.10g}"


# what tells the object apart -> how that part of it is said
_KNOWN = {
    "bolts": _bolts,
    "bracket": _bracket,
    "pressures": _pressures,
    "angle_deg": _level,
    "turn_deg": _turn,
    "recheck": _recheck,
    "picture_read": lambda read: picture_words(read) if is_picture_read({"picture_read": read}) else _pairs(read, str),
    "recheck_of": lambda given: f"by {given['by']}, {given['day']}",
    "outcome": bolt_length,  # of the hub bolts at the wheel, where it stops the job
}
