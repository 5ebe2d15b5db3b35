"""What a job comes to, for the first screen of its sheet: before, planned and after, rings, bolts, who signed.

Of several rounds it takes the last; the sheet below has all of them. It decides nothing. No Flask, no SQL.
"""

from calc.numbers.sides import SIDES
from server.desk.sheet.sheet import Sheet
from server.desk.sheet.sheet_maps import maps_of
from server.desk.words.texts import Texts

# What holds the wheel: the rows that say which bolts, by how much, and that they were tightened.
_BOLTS = (
    "vehicle.bolts", "fit.bolt-length", "fit.bare-bolts", "fit.torque", "fit.tightened", "torque.caliper",
    "torque.bracket", "torque.wheel", "torque.axle-nut", "fit.wheel-fasteners",
)  # fmt: skip


class Summary:
    """The summary of one sheet."""

    def __init__(self, sheet: Sheet, texts: Texts):
        self._sheet, self._texts = sheet, texts
        self.maps = maps_of(sheet)

    @property
    def round(self) -> int | None:
        """The last round, None before there is one."""
        return max(self._sheet.numbers.rounds, default=None)

    @property
    def has_earlier_rounds(self) -> bool:
        return len(self._sheet.numbers.rounds) > 1

    @property
    def angles(self) -> list[dict]:
        numbers, columns = self._sheet.numbers, [self._sheet.numbers.means("base")]
        if self.round is not None:
            columns += [numbers.predicted(self.round), numbers.means(f"round.{self.round}.check")]
        return self._sheet.angle_rows(columns)

    @property
    def last_maps(self) -> list[dict]:
        """Of the last round that has any."""
        last = max((each["round"] for each in self.maps), default=None)
        return [each for each in self.maps if each["round"] == last]

    @property
    def earlier_maps(self) -> list[dict]:
        return [each for each in self.maps if each not in self.last_maps]

    @property
    def plans(self) -> list[dict]:
        """The plan of the last round that has one; two where people differ."""
        plans = self._sheet.plans
        return [plan for plan in plans if plan["round"] == plans[-1]["round"]]

    @property
    def bolts(self) -> list[dict]:
        """Bolts and torques, of each the last round: title and words, both wheels in one line where they agree."""
        found: dict[str, dict] = {}
        for slot in self._sheet.fold["slots"]:
            number, side, step = self._texts.place(slot)
            if step in _BOLTS:
                key = f"{step}.{side}" if side else step
                if key not in found or found[key]["round"] < number:
                    found[key] = {"round": number, "side": side, "step": step, "said": self._said(slot)}
        rows: dict[tuple, dict] = {}
        for each in sorted(found.values(), key=lambda e: (_BOLTS.index(e["step"]), SIDES.index(e["side"] or "left"))):
            row = rows.setdefault((each["step"], each["said"]), {"title": self._texts.title(each["step"]), "sides": []})
            row["said"] = each["said"]
            row["sides"] += [each["side"]] if each["side"] else []
        return [row | {"sides": ", ".join(row["sides"])} for row in rows.values() if row["said"]]

    def _said(self, slot: str) -> str:
        live = self._sheet.fold["slots"][slot]
        return " / ".join(dict.fromkeys(self._sheet.lines.what(e) for e in live if e["kind"] != "step-undone"))

    @property
    def answered(self) -> int:
        return sum(len(stage["lines"]) for stage in self._sheet.stages)
