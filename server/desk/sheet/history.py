"""The history of a job sheet, every entry of it, and what an inquiry asks first: holds, sources, parts, overrides.

It hides nothing and decides nothing. No Flask, no SQL.
"""

from calc.numbers.sides import SIDES
from server.desk.sheet.sheet import Sheet
from server.desk.words.texts import Texts

_PARTS_AND_TOOLS = ("choose.single-use", "fit.parts-used", "fit.wrench", "base.equipment")


def history_of(sheet: Sheet) -> list[dict]:
    """Return every entry in order of arrival: number, what it says, what brought it, and what superseded it."""
    numbers = {record.entry["id"]: number for number, record in enumerate(sheet.records, 1)}
    over = superseded_by(sheet)
    return [
        {
            "number": numbers[record.entry["id"]],
            "kind": record.entry["kind"],
            "title": sheet.lines.title(record.entry),
            "brought_by": record.brought_by,
            "superseded_by": sorted(numbers[later] for later in over.get(record.entry["id"], [])),
            **sheet.lines.line(record.entry),
        }
        for record in sheet.records
    ]


def superseded_by(sheet: Sheet) -> dict[str, list[str]]:
    """Return entry id -> ids of those of its own slot that list it."""
    slots = {record.entry["id"]: record.entry["slot"] for record in sheet.records}
    over: dict[str, list[str]] = {}
    for record in sheet.records:
        own = record.entry
        for earlier in own["after"]:
            if earlier != own["id"] and slots.get(earlier) == own["slot"]:
                over.setdefault(earlier, []).append(own["id"])
    return over


class Trace:
    """What can be proved of one job, for whoever asks: customer, insurer, authority."""

    def __init__(self, sheet: Sheet, texts: Texts):
        self._sheet, self._texts = sheet, texts
        self._live = [entry for slot in sheet.fold["slots"].values() for entry in slot]

    @property
    def holds(self) -> list[dict]:
        """Every confirmation of a hold, in the checklist's order; a photo confirms the hold that it is about."""
        shown = [e for e in self._live if self._texts.is_hold(e["slot"]) and e["kind"] != "hold-overridden"]
        photos = [e for e in self._sheet.fold["photos"] if self._texts.is_hold(e["body"].get("about") or "")]
        rows = [(e["slot"], self._row(e["slot"], e)) for e in shown]
        rows += [(e["body"]["about"], self._row(e["body"]["about"], e, "photo taken")) for e in photos]
        return [row for _, row in sorted(rows, key=lambda pair: self._texts.order(pair[0]))]

    @property
    def overrides(self) -> list[dict]:
        return [self._row(e["slot"], e) for e in self._in_order() if e["kind"] == "hold-overridden"]

    @property
    def sources(self) -> list[dict]:
        """Windows, torque and consent: what was typed and where it comes from."""
        wanted = [e for e in self._in_order() if e["slot"].startswith("window.") or e["slot"].endswith("fit.torque")]
        return [self._row(e["slot"], e) for e in wanted]

    @property
    def parts(self) -> list[dict]:
        return [self._row(e["slot"], e) for e in self._in_order() if self._is_part(e["slot"])]

    def _is_part(self, slot: str) -> bool:
        step = self._texts.place(slot)[2]
        return step in _PARTS_AND_TOOLS or "lot" in step.replace("-", ".").split(".")

    @property
    def rings(self) -> list[dict]:
        """The ring sets of every plan with revision and the name of the table that was chosen from."""
        return [
            {
                "round": number,
                "side": side,
                "pair": self._sheet.lines.pair(body, side),
                "table": self._table(body, side),
            }
            for number in self._sheet.numbers.rounds
            if (body := self._sheet.numbers.plan_body(number))
            for side in SIDES
            if body["plan"][side]
        ]

    def _table(self, body: dict, side: str) -> str:
        tables = body.get("tables")
        name = tables.get(body["plan"][side]["ring_set"]) if isinstance(tables, dict) else None
        row = self._sheet.ring_sets.get(name) if isinstance(name, str) else None
        return f"revision {row['revision']}, table {name}" if row else f"table {name or 'not named'}, not here"

    @property
    def brought_by(self) -> list[str]:
        return list(dict.fromkeys(f"{r.brought_by} (device {r.entry['device'][:8]})" for r in self._sheet.records))

    def _in_order(self) -> list[dict]:
        return sorted(self._live, key=lambda entry: self._texts.order(entry["slot"]))

    def _row(self, slot: str, entry: dict, what: str | None = None) -> dict:
        line = self._sheet.lines.line(entry) | {"title": self._sheet.lines.title_of(slot, entry)}
        return line if what is None else line | {"what": what}
