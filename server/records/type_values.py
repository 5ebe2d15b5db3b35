"""The values that a vehicle type may hold: each is brought into the form that is kept, or is None. No Flask, no SQL."""

import math

from calc.fit.fit_input import MOST_LUGS
from server.records.entry_rules import is_whole

LONGEST = 200  # characters of a text
_MOST_PLACES = 12
_LUG_RADIUS_MM = (10, 500)


def text_of(text, longest: int) -> str | None:
    clean = " ".join(text.split()) if isinstance(text, str) else ""
    return clean if 1 <= len(clean) <= longest and clean.isprintable() else None


def number_of(part, low: float, high: float):
    is_number = isinstance(part, int | float) and not isinstance(part, bool) and math.isfinite(part)
    return part if is_number and low <= part <= high else None


def length_of(value) -> dict | None:
    if not isinstance(value, dict) or value.get("unit") != "mm" or number_of(value.get("number"), 0, 1000) is None:
        return None
    return {"number": value["number"], "text": text_of(value.get("text"), 20) or str(value["number"]), "unit": "mm"}


def bolts_of(value) -> dict | None:
    """Pattern, thread, grade and the metal that they screw into; never how far, nor how long they are."""
    bolts = inner_of(value, "bolts")
    places = places_of(bolts.get("at")) if bolts else None
    if places is None:
        return None
    kept, thread = {"at": places}, bolts.get("thread")
    sizes = (
        [number_of(thread.get(name), 0.2, 40) for name in ("diameter_mm", "pitch_mm")]
        if isinstance(thread, dict)
        else []
    )
    kept |= {"thread": {"diameter_mm": sizes[0], "pitch_mm": sizes[1]}} if sizes and None not in sizes else {}
    kept |= {name: text for name in ("class", "metal") if (text := text_of(bolts.get(name), 20))}
    return {"bolts": kept}


def lugs_of(value) -> dict | None:
    """Places of the bracket's lugs, where a phone can enter them again; no engagement, and no spacers of the shop."""
    bracket = inner_of(value, "bracket")
    places = places_of(bracket.get("lugs"), MOST_LUGS, _LUG_RADIUS_MM) if bracket else None
    return {"lugs": places} if places else None


def inner_of(value, name: str) -> dict | None:
    """Return what was computed with, of the form of a job or as a type holds it."""
    inner = value.get(name, value) if isinstance(value, dict) else None
    return inner if isinstance(inner, dict) else None


def places_of(at, most: int = _MOST_PLACES, radius_mm: tuple[float, float] = (1, 1000)) -> list | None:
    if not isinstance(at, list) or not 1 <= len(at) <= most:
        return None
    fit = all(
        isinstance(p, list) and len(p) == 2 and number_of(p[0], *radius_mm) and number_of(p[1], 0, 360) is not None
        for p in at
    )
    return at if fit else None


def edges_of(value, is_edge) -> dict | None:
    """A window with an open side has a null there; one that the maker does not give is not carried at all."""
    if not isinstance(value, dict) or not {"low", "high"} <= value.keys():
        return None
    edges = [value[name] for name in ("low", "high")]
    fit = edges != [None, None] and all(edge is None or is_edge(edge) for edge in edges)
    return {"low": edges[0], "high": edges[1]} if fit else None


def is_angle(edge) -> bool:
    texts = ("text", "unit", "way")
    fit = (
        isinstance(edge, dict)
        and edge.keys() <= {"mdeg", *texts, "diameter_mm"}
        and is_whole(edge.get("mdeg"), -360_000, 360_000)
    )
    return fit and all(edge.get(name) is None or text_of(edge[name], 40) for name in texts) and _is_diameter(edge)


def _is_diameter(edge: dict) -> bool:
    return edge.get("diameter_mm") is None or number_of(edge["diameter_mm"], 1, 5_000) is not None


def is_mm(edge) -> bool:
    return length_of(edge) is not None


def torque_of(value) -> dict | None:
    """A torque stands with its source; where the figure came from nobody, it is none."""
    if not isinstance(value, dict) or value.get("unit") not in ("nm", "lbf-ft"):
        return None
    text, source = text_of(value.get("text"), 20), text_of(value.get("source"), LONGEST)
    newton_metres, angle = number_of(value.get("value_nm"), 0.1, 5_000), value.get("angle_deg")
    if (
        text is None
        or source is None
        or newton_metres is None
        or (angle is not None and number_of(angle, 0, 720) is None)
    ):
        return None
    return {"value_nm": newton_metres, "text": text, "unit": value["unit"], "source": source, "angle_deg": angle}
