"""The parts of a vehicle type in words, and which of their texts are edited at the desk. No Flask, no SQL."""

from server.desk.words import typed_words
from server.desk.words.texts import Texts
from server.records.vehicle_types import KEYS, key_of

NAMES = {
    "suspension": "Suspension code", "drive": "Drive", "wheels": "Wheel size", "edition": "Edition", "source": "Source",
    "grade": "Grade of the bolt",
}  # fmt: skip


class PartWords:
    """Says one part: what it is about, and what is said of it."""

    EDITED = tuple(NAMES)
    key_of = staticmethod(key_of)
    names = NAMES

    def __init__(self, texts: Texts):
        self._texts = texts

    def title(self, key: str) -> str:
        what, _, rest = key.partition("/")
        title = self._texts.title(rest.partition("/")[0])
        return f"{title}, as it usually is" if what == "usual" else title

    def value(self, key: str, part) -> str:
        if part is None:
            return "says nothing of it"
        what, _, slot = key.partition("/")
        if what == "window":
            return f"{self._edges(part)}; {', '.join(part[name] for name in KEYS)}; from {part['source']}{_since(part)}"
        if what == "torque":
            return f"{self._texts.value(part['slot'], part['value'])}; bolt of grade {part['grade']}{_since(part)}"
        if slot == "vehicle.bracket-lugs":
            return self._texts.value(slot, {"bracket": part})
        return self._texts.value(slot, part)

    def _edges(self, part: dict) -> str:
        low, high, slot = part["value"]["low"], part["value"]["high"], part["slot"]
        if slot.startswith("window."):
            return typed_words.window(low, high, slot.rsplit(".", 1)[-1])
        return " to ".join("any" if edge is None else f"{edge['text']} mm" for edge in (low, high))

    def edited(self, part) -> dict[str, str]:
        """Return the texts of a part that a person may mend: under what it holds, and its source."""
        if not isinstance(part, dict) or "slot" not in part:
            return {}
        own = {name: part[name] for name in NAMES if name in part}
        return own | ({"source": part["value"]["source"]} if "grade" in part else {})


def _since(part: dict) -> str:
    return f", looked up on {part['day']}" if part.get("day") else ""
