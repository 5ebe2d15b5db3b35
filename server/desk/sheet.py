"""One job sheet as the desk shows it: what was measured, planned, done and by whom, from the fold of its entries.

It decides nothing: where two live entries differ, both are shown. No Flask, no SQL.
"""

import json
from fractions import Fraction

from calc.units import round_half_away
from server.desk import words
from server.desk.texts import Texts
from server.fold import fold

SIDES = ("left", "right")
_PER_WHEEL = ("camber", "toe")
_AXLE = {"total_toe": "total-toe", "thrust": "thrust", "cross_camber": "cross-camber"}
_AXLE_NAMES = {"total_toe": "Total toe", "thrust": "Thrust angle", "cross_camber": "Cross camber"}
_SHOWN_ELSEWHERE = ("window.", "base.left.", "base.right.", "front.", "aim.", "rings.", "consent")


class Sheet:
    """The view of one job.

    `received`: entry id -> server time in ms. `held`: names of photos that have come. `set_names`: ring set id -> name.
    """

    def __init__(self, entries: list[dict], received: dict[str, int], held: set[str], set_names: dict, texts: Texts):
        self._entries, self._received, self._held, self._texts = entries, received, held, texts
        self._set_names = set_names
        self._fold = fold(entries)
        self._slots = self._fold["slots"]

    @property
    def state(self) -> str:
        return words.STATES[self._fold["state"]]

    def texts_in(self, slot: str) -> str:
        """Return every live value of a field, so that a conflict is seen and not settled."""
        live = [entry for entry in self._slots.get(slot, []) if entry["kind"] == "field-set"]
        return " / ".join(dict.fromkeys(self._texts.value(slot, entry["body"]["value"]) for entry in live))

    @property
    def conflicts(self) -> list[dict]:
        return [
            {"title": self._texts.title(slot), "lines": [self._line(entry) for entry in self._slots[slot]]}
            for slot in self._fold["conflicts"]
        ]

    @property
    def rounds(self) -> list[int]:
        found = {self._texts.place(slot)[0] for slot in self._slots if slot.startswith("round.")}
        return sorted(found)

    @property
    def angles(self) -> list[dict]:
        """Rows of the table of angles: name, window, then base and, per round, prediction and check."""
        columns = [self._means("base")]
        for number in self.rounds:
            columns += [self._predicted(number), self._means(f"round.{number}.check")]
        rows = [(f"{side.capitalize()} {part}", (side, part), part) for side in SIDES for part in _PER_WHEEL]
        rows += [(_AXLE_NAMES[name], name, quantity) for name, quantity in _AXLE.items()]
        return [self._angle_row(name, key, quantity, columns) for name, key, quantity in rows]

    def _angle_row(self, name: str, key, quantity: str, columns: list[dict]) -> dict:
        edges = self._window(key)
        cells = [
            {"angle": words.angle(column.get(key), quantity), "standing": words.standing(column.get(key), edges)}
            for column in columns
        ]
        return {"name": name, "window": words.window(edges, quantity), "cells": cells}

    def _window(self, key) -> list[int] | None:
        slot = f"window.{key[0]}.{key[1]}" if isinstance(key, tuple) else f"window.{_AXLE[key]}"
        given = self._only(slot, "field-set")
        edges = given and given["body"]["value"]
        try:
            return [edges["low"]["mdeg"], edges["high"]["mdeg"]]
        except (TypeError, KeyError):
            return None

    def _only(self, slot: str, kind: str) -> dict | None:
        """The one live entry of a slot, or None where there is none or people differ."""
        live = self._slots.get(slot, [])
        agreed = live and slot not in self._fold["conflicts"] and live[0]["kind"] == kind
        return live[0] if agreed else None

    def _means(self, prefix: str) -> dict:
        """Means of the readings that nobody disputes, in whole mdeg, and what they make of the axle."""
        means = {(side, part): self._mean(f"{prefix}.{side}.", part) for side in SIDES for part in _PER_WHEEL}
        return means | _axle({key: mean for key, mean in means.items() if mean is not None})

    def _mean(self, start: str, part: str) -> int | None:
        read = [self._only(slot, "reading-taken") for slot in self._slots if slot.startswith(start)]
        sizes = [entry["body"][part]["mdeg"] for entry in read if entry and entry["body"][part]]
        return round_half_away(Fraction(sum(sizes), len(sizes))) if sizes else None

    def _predicted(self, number: int) -> dict:
        plan = self._plan(number)
        if plan is None:
            return {}
        known = {(side, part): plan["predicted"][side][i] for side in SIDES for i, part in enumerate(_PER_WHEEL)}
        return known | _axle(known)

    def _plan(self, number: int) -> dict | None:
        chosen = self._only(f"round.{number}.plan", "plan-chosen")
        return chosen["body"]["plan"] if chosen else None

    @property
    def plans(self) -> list[dict]:
        """Per round: the pair of each wheel in words, the chance, the advice, and whose choice it was."""
        return [self._plan_words(number, entry) for number in self.rounds for entry in self._chosen(number)]

    def _chosen(self, number: int) -> list[dict]:
        return [e for e in self._slots.get(f"round.{number}.plan", []) if e["kind"] == "plan-chosen"]

    def _plan_words(self, number: int, entry: dict) -> dict:
        body = entry["body"]
        plan = body["plan"]
        return {
            "round": number,
            "wheels": [(side.capitalize(), self._pair(plan[side])) for side in SIDES],
            "chance": words.chance(plan["chance"]),
            "advice": [self._texts.message(f"advice.{code}") for code in body.get("advice", [])],
            "recommended": body.get("recommended", True),
            "line": self._line(entry),
        }

    @property
    def stages(self) -> list[dict]:
        """Every answered step, by round and stage, in the checklist's order."""
        groups: dict[tuple, list] = {}
        for slot in sorted(self._slots, key=self._texts.order):
            if slot.startswith(_SHOWN_ELSEWHERE) or self._slots[slot][0]["kind"] in ("plan-chosen", "reading-taken"):
                continue
            number, _, step = self._texts.place(slot)
            group = groups.setdefault((number, step.split(".")[0]), [])
            group += [{"title": self._texts.title(slot), **self._line(entry)} for entry in self._slots[slot]]
        return [
            {"title": self._texts.stage(stage) + (f", round {number}" if number > 1 else ""), "lines": lines}
            for (number, stage), lines in groups.items()
        ]

    @property
    def readings(self) -> list[dict]:
        """Every reading as it was typed."""
        slots = [slot for slot in self._slots if self._slots[slot][0]["kind"] == "reading-taken"]
        when = {"base": 0, "round": 1, "front": 2}
        return [
            {"title": slot.replace(".", " "), **self._line(entry)}
            for slot in sorted(slots, key=lambda slot: (when.get(slot.split(".")[0], 3), slot))
            for entry in self._slots[slot]
        ]

    @property
    def consents(self) -> list[dict]:
        return [self._line(e) | {"body": e["body"]} for e in self._slots.get("consent", [])]

    @property
    def photos(self) -> list[dict]:
        return [
            self._line(entry)
            | {
                "about": self._texts.title(entry["body"].get("about") or "photo"),
                "sha256": entry["body"]["sha256"],
                "here": entry["body"]["sha256"] in self._held,
                "caption": entry["body"].get("caption") or "",
            }
            for entry in self._fold["photos"]
        ]

    @property
    def notes(self) -> list[dict]:
        return [self._line(entry) for entry in self._fold["notes"]]

    @property
    def stops(self) -> list[dict]:
        return [self._line(entry) | {"body": self._stop(entry["body"])} for entry in self._fold["stopped"]]

    def _stop(self, body: dict) -> dict:
        return {
            "reason": self._texts.option("stop-reason", body["reason"]),
            "vehicle": self._texts.option("stop-vehicle", str(body.get("vehicle_state") or "State not given")),
            "awaited": body.get("awaited") or "",
            "key": "Key kept at the shop." if body.get("key_kept") else "Key with the customer.",
        }

    @property
    def signatures(self) -> list[dict]:
        return [self._line(entry) for entry in self._fold["signed"]]

    @property
    def after_signing(self) -> list[dict]:
        late = set(self._fold["after_signing"])
        return [{"title": self._title(e), **self._line(e)} for e in self._entries if e["id"] in late]

    @property
    def unknown(self) -> list[dict]:
        return [
            self._line(entry)
            | {"kind": entry["kind"], "slot": entry["slot"], "raw": json.dumps(entry["body"], indent=1)}
            for entry in self._fold["unknown"]
        ]

    def _title(self, entry: dict) -> str:
        return entry["kind"] if entry["slot"] == entry["id"] else self._texts.title(entry["slot"])

    def _line(self, entry: dict) -> dict:
        """Who said what of an entry, when by the phone and when by the server."""
        return {
            "what": self._what(entry),
            "is_hold": entry["kind"] == "step-done" and bool(entry["body"].get("hold")),
            "is_override": entry["kind"] == "hold-overridden",
            "by": entry["by"] or "nobody named",
            "phone_time": words.phone_time(entry["at"]),
            "server_time": words.server_time(self._received[entry["id"]]),
        }

    def _pair(self, fitted: dict | None) -> str:
        if fitted is None:
            return "no rings"
        i, j = fitted["pair"]
        camber, toe = fitted["effect"]
        name = self._set_names.get(fitted["ring_set"], fitted["ring_set"])
        moves = f"moves the wheel {words.angle(camber, 'camber')}, {words.angle(toe, 'toe')}"
        return f"{name}: inner {i} meets outer {j}, at the top; {moves}"

    def _what(self, entry: dict) -> str:
        body = entry["body"]
        match entry["kind"]:
            case "step-done":
                return "hold confirmed" if body.get("hold") else "done"
            case "step-undone":
                return "taken back"
            case "hold-overridden":
                return f"passed over, because: {body['reason']}"
            case "field-set":
                return self._field(entry["slot"], body["value"])
            case "reading-taken":
                return _typed(body)
            case "note-written":
                return body["text"]
            case "plan-chosen":
                return "; ".join(f"{side}: {self._pair(body['plan'][side])}" for side in SIDES)
        return entry["kind"]

    def _field(self, slot: str, given) -> str:
        if slot.startswith("window.") and isinstance(given, dict) and {"low", "high"} <= given.keys():
            return f"{_typed_angle(given['low'])} to {_typed_angle(given['high'])}"
        return self._texts.value(slot, given)


def _axle(known: dict) -> dict:
    """What both wheels make of the axle, as far as both are known."""
    axle = {}
    if {("left", "toe"), ("right", "toe")} <= known.keys():
        left, right = known["left", "toe"], known["right", "toe"]
        axle |= {"total_toe": left + right, "thrust": (left - right) / 2}
    if {("left", "camber"), ("right", "camber")} <= known.keys():
        axle["cross_camber"] = known["left", "camber"] - known["right", "camber"]
    return axle


def _typed(body: dict) -> str:
    read = [f"{part} {_typed_angle(body[part])}" for part in _PER_WHEEL if body[part]]
    return ", ".join(read) or "withdrawn"


def _typed_angle(given) -> str:
    """Return an angle as it was typed: "3.1 mm in at 432 mm"."""
    if not isinstance(given, dict):
        return "no angle"
    unit = {"deg": "degrees", "deg-min": "", "mm": "mm", "inch": "inch"}.get(given.get("unit"), "")
    way = str(given.get("way") or "").replace("top-", "top ")
    at = f"at {given['diameter_mm']} mm" if given.get("diameter_mm") else ""
    return " ".join(part for part in (str(given.get("text", "")), unit, way, at) if part)
