"""One job sheet as the desk shows it: what was measured, predicted, done and by whom, from the fold of its entries.

It decides nothing: where two live entries differ, both are shown. No Flask, no SQL.
"""

import json

from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from server.desk.sheet.job_entries import Record
from server.desk.sheet.lines import Lines
from server.desk.words import words
from server.desk.words.picture_words import entry_of_reading, picture_words
from server.desk.words.texts import Texts
from server.records.fold import fold
from server.records.job_numbers import AXLE_WINDOWS, JobNumbers
from server.records.summary import values_of

_AXLE_NAMES = {"total_toe": "Total toe", "thrust": "Thrust angle", "cross_camber": "Cross camber"}
_SHOWN_ELSEWHERE = ("window.", "base.left.", "base.right.", "front.", "aim.", "rings.", "consent", "struck.")


class Sheet:
    """The view of one job.

    `held`: names of photos that have come. `ring_sets`: table name -> what the store says of the ring set. `sds`: the
    shop's own SDs of one reading.
    """

    def __init__(self, records: list[Record], held: set[str], ring_sets: dict[str, dict], texts: Texts, sds=None):
        self.records, self._held, self._texts = records, held, texts
        self.ring_sets = ring_sets
        self.fold = fold([record.entry for record in records])
        self._slots = self.fold["slots"]
        self.numbers = JobNumbers(self.fold, sds)
        self.lines = Lines(records, list(ring_sets.values()), texts, self.numbers)

    @property
    def state(self) -> str:
        return words.STATES[self.fold["state"]]

    @property
    def erased_at(self) -> str:
        """When its personal values were taken out, or nothing."""
        times = [record.erased_ms for record in self.records if record.erased_ms is not None]
        return words.server_time(max(times)) if times else ""

    @property
    def days(self) -> str:
        """From when to when by the phones' clocks."""
        days = sorted(record.entry["at"][:10] for record in self.records)
        return days[0] if days[0] == days[-1] else f"{days[0]} to {days[-1]}"

    def texts_in(self, slot: str) -> str:
        """Return every live value of a field, so that a conflict is seen and not settled."""
        live = [entry for entry in self._slots.get(slot, []) if entry["kind"] == "field-set"]
        return " / ".join(dict.fromkeys(self.lines.what(entry) for entry in live))

    @property
    def plates(self) -> list[str]:
        """Registrations, or else VINs, by which the vehicle's history is found."""
        return values_of(self.fold, "vehicle.registration") or values_of(self.fold, "vehicle.vin")

    @property
    def conflicts(self) -> list[dict]:
        return [
            {"slot": slot, "title": self.lines.title_of(slot), "lines": [self.lines.line(e) for e in self._slots[slot]]}
            for slot in self.fold["conflicts"]
        ]

    @property
    def angles(self) -> list[dict]:
        """Rows of the table of angles: name, window, then base and, per round, prediction and check."""
        columns = [self.numbers.means("base")]
        for number in self.numbers.rounds:
            columns += [self.numbers.predicted(number), self.numbers.means(f"round.{number}.check")]
        return self.angle_rows(columns)

    def angle_rows(self, columns: list[dict]) -> list[dict]:
        """Return a row for each angle of wheels and axle: its window, and how it stands in each column to it."""
        rows = [(f"{side.capitalize()} {part}", (side, part), part) for side in SIDES for part in WHEEL_ANGLES]
        rows += [(_AXLE_NAMES[name], name, quantity) for name, quantity in AXLE_WINDOWS.items()]
        return [self._angle_row(name, key, quantity, columns) for name, key, quantity in rows]

    def _angle_row(self, name: str, key, quantity: str, columns: list[dict]) -> dict:
        edges = self.numbers.window(key)
        cells = [
            {
                "angle": words.angle(mdeg, quantity),
                "standing": words.standing(mdeg, edges, quantity),
                "by": words.degrees(words.outside(mdeg, edges)),
                "is_outside": words.outside(mdeg, edges) != 0,
            }
            for mdeg in (column.get(key) for column in columns)
        ]
        return {"name": name, "window": words.window(edges, quantity), "cells": cells}

    @property
    def plans(self) -> list[dict]:
        """Per round: the pair of each wheel in words, the chance, the advice, and whose choice it was."""
        chosen = [(number, e) for number in self.numbers.rounds for e in self._slots.get(f"round.{number}.plan", [])]
        return [self._plan_words(number, entry) for number, entry in chosen if entry["kind"] == "plan-chosen"]

    def _plan_words(self, number: int, entry: dict) -> dict:
        body = entry["body"]
        plan = body["plan"]
        return {
            "round": number,
            "wheels": [
                {"side": side, "pair": self.lines.pair_in(body, side), "drawing": self._drawing_of(body, side)}
                for side in SIDES
            ],
            "chance": words.chance(plan["chance"]),
            "advice": [self._texts.message(f"advice.{code}") for code in _texts_of(body.get("advice"))],
            "recommended": body.get("recommended", True),
            "doubted": [self.lines.set_name(name) for name in _texts_of(list(plan.get("doubts") or ()))],
            "line": self.lines.line(entry),
        }

    def _drawing_of(self, body: dict, side: str) -> dict | None:
        """What the cutting drawing of a wheel needs: ring set, revision and pair, where the table is still here."""
        fitted, tables = body["plan"][side], body.get("tables")
        if fitted is None or not isinstance(tables, dict):
            return None
        table = tables.get(fitted["ring_set"])
        row = self.ring_sets.get(table) if isinstance(table, str) else None
        return row and {"id": row["id"], "revision": row["revision"], "pair": fitted["pair"]}

    @property
    def stages(self) -> list[dict]:
        """Every answered step, by round and stage, in the checklist's order."""
        groups: dict[tuple, list] = {}
        for slot in sorted(self._slots, key=self._texts.order):
            if slot.startswith(_SHOWN_ELSEWHERE) or self._slots[slot][0]["kind"] in ("plan-chosen", "reading-taken"):
                continue
            number, _, step = self._texts.place(slot)
            group = groups.setdefault((number, step.split(".")[0]), [])
            group += [{"title": self.lines.title(entry), **self.lines.line(entry)} for entry in self._slots[slot]]
        return [
            {"title": ", ".join(filter(None, (self._texts.stage(stage), self._texts.round(number)))), "lines": lines}
            for (number, stage), lines in groups.items()
        ]

    @property
    def readings(self) -> list[dict]:
        """Every reading as it was typed."""
        slots = [slot for slot in self._slots if self._slots[slot][0]["kind"] == "reading-taken"]
        when = {"found": 0, "base": 1, "round": 2, "front": 3}  # as found: before something they rest on was put right
        return [
            {"title": slot.replace(".", " "), **self.lines.line(entry)}
            for slot in sorted(slots, key=lambda slot: (when.get(slot.split(".")[0], 4), slot))
            for entry in self._slots[slot]
        ]

    @property
    def consents(self) -> list[dict]:
        """What holds now; where the hold was gone past for a changed plan, also the consent given before."""
        live = self._slots.get("consent", [])
        passed = {id_ for entry in live if entry["kind"] == "hold-overridden" for id_ in entry["after"]}
        before = [record.entry for record in self.records if record.entry["id"] in passed]
        return [self.lines.line(e) | {"body": e["body"]} for e in [*before, *live]]

    @property
    def photos(self) -> list[dict]:
        return [
            self.lines.line(entry)
            | {
                "about": self.lines.title_of(entry["body"].get("about") or "photo", entry),
                "sha256": entry["body"]["sha256"],
                "here": entry["body"]["sha256"] in self._held,
                "erased": entry.get("erased") is True,
                "caption": entry["body"].get("caption") or "",
                "read": self._read_off(entry),
            }
            for entry in self.fold["photos"]
        ]

    def _read_off(self, photo: dict) -> str:
        """Return what touches on a photo said, and whether they were held against a plan that holds no more."""
        entry = entry_of_reading(self.fold, photo)
        if entry is None:
            return ""
        words = picture_words(entry["body"]["value"]["picture_read"])
        return f"{words} That was an earlier plan." if self.lines.is_of_earlier_plan(entry) else words

    @property
    def notes(self) -> list[dict]:
        return [self.lines.line(entry) for entry in self.fold["notes"]]

    @property
    def stops(self) -> list[dict]:
        return [self.lines.line(entry) | {"body": self._stop(entry["body"])} for entry in self.fold["stopped"]]

    @property
    def gone_past(self) -> list[dict]:
        """Every hold that was gone past and is still, in the checklist's order, with its reason."""
        live = [entry for slot in sorted(self._slots, key=self._texts.order) for entry in self._slots[slot]]
        passed = [entry for entry in live if entry["kind"] == "hold-overridden"]
        return [{"title": self.lines.title(entry), **self.lines.line(entry)} for entry in passed]

    @property
    def reopenings(self) -> list[dict]:
        """Every reopening with its reason, and the stops that it ended; one of a signature alone ended none."""
        entries = {record.entry["id"]: record.entry for record in self.records}
        opened = [entry for entry in entries.values() if entry["kind"] == "job-reopened"]
        return [self._reopening(entry, entries) for entry in opened]

    def _reopening(self, entry: dict, entries: dict[str, dict]) -> dict:
        reason = entry["body"].get("reason")
        ended = [entries[i] for i in entry["body"]["reopens"] if i in entries]
        stops = [self.lines.line(e) | {"body": self._stop(e["body"])} for e in ended if e["kind"] == "job-stopped"]
        return self.lines.line(entry) | {
            "reason": reason if isinstance(reason, str) and reason else "no reason given",
            "title": "Stopped, reopened" if stops else "Signed, reopened",
            "stops": stops,
        }

    def _stop(self, body: dict) -> dict:
        return {
            "reason": self._texts.option("stop-reason", body["reason"]),
            "vehicle": self._texts.option("stop-vehicle", str(body.get("vehicle_state") or "State not given")),
            "awaited": body.get("awaited") or "",
            "key": "Key kept at the shop." if body.get("key_kept") else "Key with the customer.",
        }

    @property
    def signatures(self) -> list[dict]:
        return [self.lines.line(entry) for entry in self.fold["signed"]]

    @property
    def after_signing(self) -> list[dict]:
        late = set(self.fold["after_signing"])
        entries = [record.entry for record in self.records if record.entry["id"] in late]
        return [{"title": self.lines.title(e), **self.lines.line(e)} for e in entries]

    @property
    def unknown(self) -> list[dict]:
        return [
            self.lines.line(entry)
            | {"kind": entry["kind"], "slot": entry["slot"], "raw": json.dumps(entry["body"], indent=1)}
            for entry in self.fold["unknown"]
        ]


def _texts_of(listed) -> list[str]:
    return [text for text in listed if isinstance(text, str)] if isinstance(listed, list) else []
