"""One entry of a job sheet as a line: what it says in words, who wrote it, when by the phone and by the server."""

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.rings.rings import RingSet, swap_freely
from server.desk.sheet.job_entries import Record
from server.desk.words import typed_words, words
from server.desk.words.hold_words import done_words
from server.desk.words.phone_words import say
from server.desk.words.texts import Texts
from server.records.fold import fold
from server.records.job_numbers import JobNumbers

ERASED = "erased"
# kind -> what an entry that stands for itself is about, and what it says where it has no words of its own
_OWN = {
    "job-opened": ("Job sheet", "begun"),
    "job-signed": ("Job sheet", say("ui.state.signed").lower()),
    "job-stopped": ("Job sheet", "stopped"),
    "job-reopened": ("Job sheet", "reopened"),
    "photo-attached": ("Photo", "taken"),
    "note-written": ("Note", ""),
}


class Lines:
    """Says entries in words. `ring_sets`: what the store says of each."""

    def __init__(self, records: list[Record], ring_sets: list[dict], texts: Texts, numbers: JobNumbers):
        self._records = {record.entry["id"]: record for record in records}
        self._plans = [record for record in records if record.entry["kind"] == "plan-chosen"]
        self._set_names = {row["id"]: row["name"] for row in ring_sets}
        self._alike = {row["table"] for row in ring_sets if swap_freely(RingSet.from_json(row["ring_set"]))}
        self._texts, self._numbers = texts, numbers

    def line(self, entry: dict) -> dict:
        record = self._records[entry["id"]]
        return {
            "id": entry["id"],
            "what": self.what(entry),
            "is_hold": entry["kind"] == "step-done" and bool(entry["body"].get("hold")),
            "is_override": entry["kind"] == "hold-overridden",
            "by": ERASED if entry.get("erased") is True else entry["by"] or "nobody named",
            "phone_time": words.phone_time(entry["at"], record.received_ms),
            "server_time": words.server_time(record.received_ms),
        }

    def title(self, entry: dict) -> str:
        if entry["slot"] == entry["id"]:
            return _OWN.get(entry["kind"], (entry["kind"],))[0]
        return self.title_of(entry["slot"], entry)

    def title_of(self, slot: str, entry: dict | None = None) -> str:
        """Return the title of a slot, with the marks that its wheel had in the plan under which `entry` was written."""
        fitted = self._fitted(slot, entry)
        if fitted is None:
            return self._texts.title(slot)
        inner, outer = fitted["pair"]
        return self._texts.title(slot, {"ringSet": self._set_name(fitted), "inner": inner, "outer": outer})

    def _fitted(self, slot: str, entry: dict | None = None) -> dict | None:
        """Return what the plan has for the wheel of a slot: that of then, or else the one that holds."""
        number, side, _ = self._texts.place(slot)
        body = (entry and self._plan_then(entry, f"round.{number}.plan")) or self._numbers.plan_body(number)
        return body["plan"][side] if body and side else None

    def _plan_then(self, entry: dict, slot: str) -> dict | None:
        """Return the plan that an entry names; for one that names none, the plan that held when it came here."""
        seq, named = self._records[entry["id"]].seq, entry["body"].get("plan")
        plans = [plan for plan in self._plans if plan.entry["slot"] == slot]
        known = [plan.entry for plan in plans if plan.entry["id"] == named]
        held = JobNumbers(fold(known or [plan.entry for plan in plans if plan.seq < seq])).only(slot, "plan-chosen")
        return held and held["body"]

    def set_name(self, ring_set_id: str) -> str:
        return self._set_names.get(ring_set_id, ring_set_id)

    def _set_name(self, fitted: dict) -> str:
        return self.set_name(fitted["ring_set"])

    def what(self, entry: dict) -> str:
        body = entry["body"]
        match entry["kind"]:
            case "step-done":
                return self._done(entry)
            case "step-undone":
                return say("ui.answer.undone")
            case "hold-overridden":
                return say("ui.step.overridden", reason=body["reason"] or ERASED)
            case "field-set":
                return self._field(entry)
            case "reading-taken":
                return _typed(body)
            case "note-written":
                return body["text"] or ERASED
            case "plan-chosen":
                return "; ".join(f"{side}: {self.pair_in(body, side)}" for side in SIDES)
            case "consent-recorded":
                return "given"
        return _OWN[entry["kind"]][1] if entry["kind"] in _OWN else entry["kind"]

    def _done(self, entry: dict) -> str:
        is_earlier = self.is_of_earlier_plan(entry)
        done = "hold confirmed" if entry["body"].get("hold") else say("ui.step.state.done")
        on_record = done_words(entry["body"])
        return f"{done}{': ' if on_record else ''}{on_record}{', under an earlier plan' if is_earlier else ''}"

    def is_of_earlier_plan(self, entry: dict) -> bool:
        """Return whether what an entry says of a wheel was said of another pair than the one planned there now."""
        number, side, _ = self._texts.place(entry["slot"])
        holding = self._numbers.plan_body(number)
        return bool(holding and side and self._fitted(entry["slot"], entry) != holding["plan"][side])

    def pair_in(self, body: dict, side: str) -> str:
        """Say what a plan does at a wheel; a later round leaves a wheel closed, with whatever is in it."""
        opened = body.get("open")
        if isinstance(opened, list) and side not in opened:
            return "stays closed"
        return self.pair(body, side)

    def pair(self, body: dict, side: str) -> str:
        """Say the pair of a plan, by the plan's own tables: a later revision of the ring set changes no word of it."""
        fitted, tables = body["plan"][side], body.get("tables")
        if fitted is None:
            return say("report.no-rings")
        i, j = fitted["pair"]
        camber, toe = fitted["effect"]
        table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
        is_alike = isinstance(table, str) and table in self._alike
        meets = say("ui.pair.alike" if is_alike else "ui.pair", set=self._set_name(fitted), inner=i, outer=j)
        return f"{meets}; moves the wheel {words.angle(camber, 'camber')}, {words.angle(toe, 'toe')}"

    def _field(self, entry: dict) -> str:
        slot, given = entry["slot"], entry["body"]["value"]
        if given is None and entry.get("erased") is True:
            return ERASED
        if slot.startswith("window.") and given is None:
            return "the maker gives none"
        if slot.startswith("window.") and isinstance(given, dict) and {"low", "high"} <= given.keys():
            return typed_words.window(given["low"], given["high"], _quantity_of(slot))
        if isinstance(given, dict) and "mdeg" in given:
            return typed_words.angle(given)
        return self._texts.value(slot, given)


def _typed(body: dict) -> str:
    read = [f"{part} {typed_words.angle(body[part])}" for part in WHEEL_ANGLES if body[part]]
    return ", ".join(read) or "withdrawn"


def _quantity_of(slot: str) -> str:
    """Return what a window's slot is about: "toe" of "window.left.toe"."""
    return slot.rsplit(".", 1)[-1]
