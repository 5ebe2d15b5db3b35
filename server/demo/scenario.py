"""Plays a short scenario file into the entries that a phone would have written for it, step by step of the checklist.

A scenario says only what is particular to a job; the rest is answered as on a good day. It knows no store.
"""

import json
import uuid
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

from calc.choose.choose import choose
from calc.numbers.quantities import sign_of_word, sign_word_of
from calc.numbers.sides import SIDES
from calc.numbers.units import mdeg_from_text, text_from_mdeg
from server.demo import drawings
from server.photos.keep_photo import name_of

# The demo's jobs were begun before there were sheets: the phone goes on with such jobs, and the demo shows it.
_CHECKLIST = Path(__file__).resolve().parent.parent.parent / "fixtures" / "demo" / "checklist.json"
_ZONE = timezone(timedelta(hours=1))
_AXLE_WINDOWS = {"window.total-toe": "total_toe", "window.thrust": "thrust", "window.cross-camber": "cross_camber"}
_STEP_MS = 70_000
_DAY_MS = 24 * 3600 * 1000
_MORNING_MS = 7 * 3600 * 1000  # after midnight UTC


def angle(text: str, unit: str, way: str | None, diameter_mm: float | None = None) -> dict:
    """Return an angle as entries hold it."""
    mdeg = sign_of_word(way) * mdeg_from_text(text, unit, diameter_mm)
    return {"mdeg": mdeg, "text": text, "unit": unit, "way": way, "diameter_mm": diameter_mm}


class Scenario:
    """Plays scenario files. `ring_sets`: id -> what /api/ring-sets says of it. Each phone keeps one count over all."""

    def __init__(self, ring_sets: dict[str, dict], now_ms: int):
        self._ring_sets = ring_sets
        self._now_ms = now_ms
        self._checklist = json.loads(_CHECKLIST.read_text("utf-8"))
        self._devices: dict[str, str] = {}
        self._counts: dict[str, int] = {}

    def play(self, script: dict):
        """Yield (phone's name, its entries, its photos as bytes): the job itself, then what a second phone added."""
        job = _Job(self, script)
        job.run()
        yield script["phone"], job.entries, job.photos
        for late in script.get("also", []):
            if late.get("supersedes"):
                late = late | {"after": [e["id"] for e in job.entries if e["slot"] == late["slot"]]}
            yield late["phone"], [job.entry(late["kind"], late["body"], late["slot"], who=late, keep=False)], []

    def stamp(self, phone: str) -> dict:
        """Return device and n of the phone's next entry."""
        device = self._devices.setdefault(phone, str(uuid.uuid4()))
        self._counts[phone] = self._counts.get(phone, 0) + 1
        return {"device": device, "n": self._counts[phone]}

    @property
    def stages(self) -> list[dict]:
        return self._checklist["stages"]

    def options(self, step: dict) -> list[str]:
        return [option["id"] for option in self._checklist["option_sets"][step["options"]]]

    def ring_set(self, ring_set_id: str) -> dict:
        return self._ring_sets[ring_set_id]

    @property
    def now_ms(self) -> int:
        return self._now_ms


class _Reached(Exception):
    """The scenario's last step has been reached."""


class _Job:
    """One job sheet while it is played."""

    def __init__(self, scenario: Scenario, script: dict):
        self._scenario, self._script = scenario, script
        self._id = str(uuid.uuid4())
        today_ms = scenario.now_ms // _DAY_MS * _DAY_MS
        self._clock_ms = today_ms - script["days_ago"] * _DAY_MS + _MORNING_MS
        self._answers: dict[str, object] = {}
        self._plan = None
        self.entries: list[dict] = []
        self.photos: list[bytes] = []

    def run(self) -> None:
        self.entry("job-opened", {"checklist": 1})
        rounds = range(1, self._script.get("rounds", 1) + 1)
        stages = {stage["id"]: stage for stage in self._scenario.stages}
        try:
            self._stage(stages["vehicle"], 1)
            self._stage(stages["base"], 1)
            for number in rounds:
                for name in ("choose", "prepare", "fit", "check"):
                    self._stage(stages[name], number)
            self._stage(stages["finish"], 1)
        except _Reached:
            pass
        for note in self._script.get("notes", []):
            self.entry("note-written", {"text": note})
        if "stopped" in self._script:
            self.entry("job-stopped", self._script["stopped"])
        if self._script.get("signed"):
            self.entry("job-signed", {"covers": sorted(entry["id"] for entry in self.entries)})

    def entry(self, kind: str, body: dict, slot: str | None = None, who: dict | None = None, keep: bool = True) -> dict:
        """Make an entry by the scenario's person, or by `who`; keep it in the job where `keep`."""
        who = who or self._script
        own = str(uuid.uuid4())
        self._clock_ms += _STEP_MS
        at = datetime.fromtimestamp(self._clock_ms / 1000, UTC).astimezone(_ZONE)
        made = {
            "format": 1, "id": own, "job": self._id, **self._scenario.stamp(who["phone"]),
            "at": at.isoformat(timespec="milliseconds"), "by": who["by"], "kind": kind, "slot": slot or own,
            "after": who.get("after", []), "body": body,
        }  # fmt: skip
        if keep:
            self.entries.append(made)
        return made

    def _set(self, slot: str, answer) -> None:
        self.entry("field-set", {"value": answer}, slot)

    def _stage(self, stage: dict, number: int) -> None:
        if not self._holds(stage.get("when", []), stage, number, None):
            return
        block: list[dict] = []
        for step in [*stage["steps"], None]:
            if step and step.get("per") == "wheel":
                block.append(step)
                continue
            for wheel in self._wheels():
                for each in block:
                    self._step(stage, each, number, wheel)
            block = []
            if step:
                self._step(stage, step, number, None)

    def _wheels(self) -> list[str]:
        return [side for side in SIDES if self._plan and self._plan[side]]

    def _slot(self, stage: dict, step: dict, number: int, wheel: str | None) -> str:
        if "slot" in step:
            return step["slot"].replace("{round}", str(number))
        prefix = f"round.{number}." if stage.get("rounds") and number > 1 else ""
        return prefix + (step["id"].replace(".", f".{wheel}.", 1) if step.get("per") == "wheel" else step["id"])

    def _step(self, stage: dict, step: dict, number: int, wheel: str | None) -> None:
        slot = self._slot(stage, step, number, wheel)
        if slot == self._script.get("until"):
            raise _Reached
        if not self._holds(step.get("when", []), stage, number, wheel):
            return
        if slot in self._script.get("overridden", {}):
            self.entry("hold-overridden", {"reason": self._script["overridden"][slot]}, slot)
        elif step["type"] == "panel":
            self._panel(step, slot, number)
        elif step["type"] == "photo":
            self._photo(step, slot)
        elif step["type"] == "tick":
            self.entry("step-done", {"hold": step.get("hold", False)}, slot)
        else:
            self._answer(step, slot)

    def _answer(self, step: dict, slot: str) -> None:
        given = self._script["answers"].get(slot, self._script["answers"].get(step["id"]))
        if given is None and step["type"] == "choice" and step.get("required", True):
            given = self._scenario.options(step)[0]
        if given is not None:
            self._answers[slot] = given
            self._set(slot, given)

    def _holds(self, conditions: list[dict], stage: dict, number: int, wheel: str | None) -> bool:
        return all(self._holds_one(condition, stage, number, wheel) for condition in conditions)

    def _holds_one(self, condition: dict, stage: dict, number: int, wheel: str | None) -> bool:
        if "any" in condition:
            return any(self._holds_one(inner, stage, number, wheel) for inner in condition["any"])
        if "plan" in condition:
            return bool(self._wheels())
        step = next(s for st in self._scenario.stages for s in st["steps"] if s["id"] == condition["field"])
        home = next(st for st in self._scenario.stages if step in st["steps"])
        answer = self._answers.get(self._slot(home, step, number, wheel))
        return answer in condition["is"] if "is" in condition else answer not in condition["not"]

    def _photo(self, step: dict, slot: str) -> None:
        if not step.get("required", True) and slot not in self._script.get("photos", []):
            return
        content = drawings.draw(slot, self._script["answers"]["vehicle.registration"])
        self.photos.append(content)
        body = {
            "sha256": name_of(content), "mime": "image/jpeg", "bytes": len(content),
            "width": drawings.WIDTH, "height": drawings.HEIGHT, "about": slot, "caption": "",
        }  # fmt: skip
        self.entry("photo-attached", body)

    def _panel(self, step: dict, slot: str, number: int) -> None:
        play = {
            "readings": lambda: self._readings("base", self._script["base"]),
            "windows": self._windows,
            "plan": lambda: self._choose(slot),
            "consent": lambda: self.entry("consent-recorded", self._script["consent"], slot),
            "single-use-list": lambda: self._set(slot, dict.fromkeys(step["items"], "at-hand")),
            "torque": lambda: self._set(slot, self._script["torque"]),
            "check-readings": lambda: self._check(number),
            "front-readings": lambda: self._readings("front.after", self._script["front"]),
        }.get(step["panel"])
        if play:
            play()

    def _readings(self, prefix: str, wheels: dict) -> None:
        for side in SIDES:
            repeats = wheels[side]
            for count, (camber, toe) in enumerate(repeats, 1):
                slot = f"{prefix}.{side}" if prefix.startswith("front") else f"{prefix}.{side}.{count}"
                self.entry("reading-taken", {"camber": camber and angle(*camber), "toe": angle(*toe)}, slot)

    def _windows(self) -> None:
        self._set("window.source", self._script["window_source"])
        for slot, edges in self._script["windows"].items():
            self._set(slot, edges and {"low": angle(*edges[0]), "high": angle(*edges[1])})

    def _choose(self, slot: str) -> None:
        asked = self._choice_input()
        sets = {i: self._scenario.ring_set(i) for i in self._script["ring_sets"]}
        result = choose(asked | {"ring_sets": [sets[i]["ring_set"] for i in sets]})
        self._plan = result["plans"][0]
        body = {
            "plan": self._plan,
            "input": asked,
            "tables": {i: row["table"] for i, row in sets.items()},
            "advice": result["advice"],
            "recommended": True,
        }
        self.entry("plan-chosen", body, slot)

    def _choice_input(self) -> dict:
        def window(slot):
            edges = self._script["windows"].get(slot)
            return edges and [angle(*edge)["mdeg"] for edge in edges]

        return {
            "ring_sets": self._script["ring_sets"],
            "wheels": {side: {**self._mean(side), "rings": "auto"} for side in SIDES},
            "windows": {
                side: {"camber": window(f"window.{side}.camber"), "toe": window(f"window.{side}.toe"), "aim": None}
                for side in SIDES
            },
            "axle": {name: window(slot) for slot, name in _AXLE_WINDOWS.items()},
        }

    def _mean(self, side: str) -> dict:
        repeats = self._script["base"][side]
        totals = [sum(angle(*reading[part])["mdeg"] for reading in repeats) for part in (0, 1)]
        return {"camber": round(totals[0] / len(repeats)), "toe": round(totals[1] / len(repeats))}

    def _check(self, number: int) -> None:
        """Readings near the prediction, in hundredths of a degree; the script says how far from it."""
        for side in SIDES:
            miss = self._script["check_miss"][number - 1][side]
            camber, toe = (p + m for p, m in zip(self._plan["predicted"][side], miss, strict=True))
            body = {"camber": _read_off(camber, "camber"), "toe": _read_off(toe, "toe")}
            self.entry("reading-taken", body, f"round.{number}.check.{side}.1")


def _read_off(mdeg: int, quantity: str) -> dict:
    hundredths = round(abs(mdeg) / 10) * 10
    return angle(text_from_mdeg(hundredths, "deg"), "deg", sign_word_of(quantity, mdeg))
