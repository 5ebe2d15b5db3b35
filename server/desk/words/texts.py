"""The checklist's own texts for the desk: titles of rows and options, in the checklist's order. Read once."""

import json
import re
from functools import lru_cache
from pathlib import Path

from server.desk.words import field_words
from server.desk.words.phone_words import messages, say
from server.records.checklist import rows_of

_TEXTS = ("checklist", "sheets", "titles")
_STAGES = {
    "vehicle": "Vehicle", "base": "Base readings", "window": "Windows", "choose": "Choose", "torque": "Torques",
    "prepare": "Prepare the rings", "fit": "Fit", "check": "Check readings", "finish": "Finish",
}  # fmt: skip
_ROUND = re.compile(r"round\.(\d+)\.")
_WINDOWS = {
    "window.camber": "Window of camber", "window.toe": "Window of toe", "window.total-toe": "Window of total toe",
    "window.thrust": "Window of the thrust angle", "window.cross-camber": "Window of cross camber",
    "window.source": say("type.window.source"),
}  # fmt: skip
# Slots that are no row of the checklist, or not yet one that this phone's texts know
_FIELDS = {
    "finish.recheck-after": "Recheck of the fasteners",
    "finish.recheck-done": "Recheck of the fasteners, done",
    "finish.vehicle-type": "Proposed as vehicle type",
    "fit.picture": "Photo of the rings, read",
    "window.keys": say("type.window.keys"),
    "finish.rings-from": "Rings taken from",
}
# Where slots are asked that are no row: the sheets' cards have them.
_SHEETS = {
    "base": "readings",
    "window": "readings",
    "front": "finish",
    "plan": "plan",
    "consent": "plan",
    "check": "check",
}
_PLACE = re.compile(r"\{(\w+)\}")
_NOT_KNOWN = "?"
_SIDE = re.compile(r"\.(left|right)(?=\.|$)")
_LETTER = {"left": {"letter": "L"}, "right": {"letter": "R"}}  # as written on the rings


class Texts:
    """What the checklist calls things. What it does not know is called by its id, so that nothing is hidden."""

    def __init__(self, folder: Path):
        checklist = json.loads((folder / "checklist.json").read_text("utf-8"))
        texts = [json.loads((folder / "text" / "en" / f"{name}.json").read_text("utf-8")) for name in _TEXTS]
        self._messages = {key: text for part in texts for key, text in part.items()}
        self._steps = {row["id"]: row for row in rows_of(checklist)}
        self._order = {step: place for place, step in enumerate(self._steps)}

    def message(self, key: str) -> str:
        return self._messages.get(key, key)

    def stage(self, name: str) -> str:
        return _STAGES.get(name, name)

    def sheet_of(self, slot: str) -> str:
        """Return the title of the sheet on which a slot is asked, or nothing where it is on none."""
        _, side, step = self.place(slot)
        known = self._steps.get(step)
        sheet = known["sheet"] if known else _SHEETS.get(step.split(".")[0], "")
        return self._messages.get(f"sheet.{sheet}.title.{side}") or self._messages.get(f"sheet.{sheet}.title", "")

    def option(self, options: str | None, given: str) -> str:
        return self._messages.get(f"option.{options}.{given}", given)

    def place(self, slot: str) -> tuple[int, str | None, str]:
        """Return (round, side or None, step id) of a slot: "round.2.fit.left.faces" is (2, "left", "fit.faces")."""
        found = _ROUND.match(slot)
        bare = slot[found.end() :] if found else slot
        side = _SIDE.search(bare)
        step = _SIDE.sub("", bare, count=1) if side else bare
        return int(found[1]) if found else 1, side[1] if side else None, step

    def order(self, slot: str) -> tuple:
        """Return a key that sorts slots as the checklist works through them."""
        number, side, step = self.place(slot)
        return number, self._order.get(step, len(self._order)), side or "", slot

    def is_hold(self, slot: str) -> bool:
        return bool(self._steps.get(self.place(slot)[2], {}).get("hold"))

    def title(self, slot: str, marks: dict | None = None) -> str:
        """Return what a slot is about, with side and round where they matter.

        `marks`: ringSet, inner and outer of its wheel in its round, where one plan says so; else a "?" stands there.
        """
        number, side, step = self.place(slot)
        if step.startswith("vehicle.") and step not in self._steps:
            number, side, step = 1, None, slot
        if step.startswith("fit.picture."):
            step = "fit.picture"
        known = {**_LETTER.get(side, {}), **(marks or {})}
        words = _WINDOWS.get(step) or self._filled(step, known) or _FIELDS.get(step, step)
        where = [part for part in (side, self.round(number)) if part]
        return f"{words} ({', '.join(where)})" if where else words

    @staticmethod
    def round(number: int) -> str | None:
        """Return how a round is called beside a row; the first needs no name, and before it old rings come out."""
        return {0: "old rings out", 1: None}.get(number, f"round {number}")

    def _filled(self, step: str, marks: dict) -> str:
        """A row's title, or that of a step which only the checklist before the sheets had."""
        title = self._messages.get(f"row.{step}.title") or self._messages.get(f"step.{step}.title", "")
        return _PLACE.sub(lambda found: str(marks.get(found[1], _NOT_KNOWN)), title)

    def value(self, slot: str, given) -> str:
        """Return an answer in words."""
        step = self._steps.get(self.place(slot)[2], {})
        if given is None:
            return "withdrawn"
        if isinstance(given, bool):
            return "yes" if given else "no"
        if isinstance(given, str):
            return self.option(step.get("options"), given)
        if isinstance(given, dict) and "text" in given:
            return self._quantity(given)
        if isinstance(given, dict):
            return field_words.words_of(given, self._item)
        return json.dumps(given, ensure_ascii=False)

    def _quantity(self, given: dict) -> str:
        unit = given.get("unit") or ""
        unit = self._messages.get(f"unit.{unit}") or messages().get(f"ui.unit.{unit}", unit)
        words = f"{given['text']} {unit}".strip()
        if given.get("angle_deg"):
            words += f" and {given['angle_deg']} degrees"
        return f"{words}, from: {given['source']}" if given.get("source") else words

    def _item(self, key) -> str:
        for form in ("single-use.{}", "single-use-state.{}"):
            if (name := form.format(key)) in self._messages:
                return self._messages[name]
        return str(key)


@lru_cache(maxsize=4)
def texts_of(folder: str) -> Texts:
    return Texts(Path(folder))
