"""What sits at the wheels by what was done, not by what is planned: a pair is there until a step says that it came out.

The twin of pwa/js/domain/job/installed-rings.js, bound to it by fixtures/golden/installed.json. No Flask, no SQL.
"""

import re
from dataclasses import dataclass
from functools import cached_property

from calc.numbers.sides import SIDES
from server.records.fold import fold
from server.records.job_numbers import JobNumbers

# Any of these, done at a wheel in a later round, says that the earlier pair is out.
_OUT_WHEN_DONE = ("pair-out", "hub-back", "rings-in")
_LOT = re.compile(r"(?:round\.(\d+)\.)?(?:prepare\.(left|right)\.ring-lot|choose\.parts-lot)")
_PLAN = re.compile(r"round\.(\d{1,3})\.plan")
_OLD_AT = {"left": ("left",), "right": ("right",), "both": SIDES}
_STATES = ("in", "out", "unused")


@dataclass(frozen=True)
class Pair:
    """A pair as a plan has it. `table`: of its ring set in that revision, None where the plan does not say."""

    ring_set: str
    pair: list[int]
    round: int
    table: str | None
    leaving: bool = False  # a plan takes it out, and it is still in

    @property
    def identity(self) -> tuple:
        return self.ring_set, self.table, tuple(self.pair)


@dataclass(frozen=True)
class Lot:
    """Part and lot numbers as typed: of the rings at a wheel, or of the other parts (`side` None)."""

    side: str | None
    round: int
    texts: list[str]
    state: str  # in, out, unused: of rings that were got ready and not fitted


class InstalledRings:
    """What the entries of one job say of the rings in its axle."""

    def __init__(self, entries: list[dict]):
        self.fold = fold(entries)
        self.numbers = JobNumbers(self.fold)
        self._slots = self.fold["slots"]
        self._plans = {e["id"]: e["body"] for e in entries if e["kind"] == "plan-chosen"}

    @cached_property
    def current_round(self) -> int:
        return max([1, *self.numbers.rounds])

    def installed(self, side: str) -> Pair | None:
        """Return the pair that sits there, or that the plan puts there; None: there is none."""
        planned = self.planned(side)
        left = None if planned else self._last_planned(side)
        if planned or left is None or self._came_out(side, left.round):
            return planned
        return Pair(left.ring_set, left.pair, left.round, left.table, leaving=True)

    def is_seen_in(self, side: str, number: int) -> bool:
        """Tell whether somebody ticked, in that round, that the rings are in."""
        return self._is_ticked(fit_slot(number, "rings-in", side))

    def planned(self, side: str, until: int | None = None) -> Pair | None:
        """Return the pair that the plans up to a round put at a wheel; None: none, or taken out again."""
        for number in range(self.current_round if until is None else until, 0, -1):
            body = self.numbers.plan_body(number)
            if body and body["plan"][side]:
                return _pair_of(body, side, number)
            if body and isinstance(body.get("open"), list) and side in body["open"]:
                return None
        return None

    def every_planned(self) -> list[tuple[str, Pair, str]]:
        """Return (side, pair, state) of all that any live plan of a round puts at a wheel, or by which somebody ticked
        that the rings are in; each identity once a side, by the state that matters most.
        """
        best: dict[tuple, tuple[str, Pair, str]] = {}
        for side, pair in self._ever_named():
            state, key = self._state(side, pair.round), (side, *pair.identity)
            if key not in best or _STATES.index(state) < _STATES.index(best[key][2]):
                best[key] = (side, pair, state)
        return list(best.values())

    def _ever_named(self):
        for slot, live in sorted(self._slots.items()):
            found = _PLAN.fullmatch(slot)
            bodies = [e["body"] for e in live if e["kind"] == "plan-chosen"] if found else []
            for side in SIDES if found else ():
                ticks = self._slots.get(fit_slot(int(found[1]), "rings-in", side), [])
                ticked = [self._plans[e["body"]["plan"]] for e in ticks if _named_plan(e) in self._plans]
                yield from ((side, _pair_of(b, side, int(found[1]))) for b in [*bodies, *ticked] if b["plan"][side])

    @property
    def old_at(self) -> tuple[str, ...]:
        """The wheels at which rings from before this job were found."""
        found = self.numbers.field("vehicle.pair-fitted")
        return tuple(_OLD_AT.get(found, ())) if isinstance(found, str) else ()

    @property
    def old_in(self) -> tuple[str, ...]:
        """The wheels whose old rings are still in; older programs tick one step for both."""
        if self._is_ticked("vehicle.pair-removed"):
            return ()
        return tuple(side for side in self.old_at if not self._is_ticked(fit_slot(0, "pair-out", side)))

    @property
    def lots(self) -> list[Lot]:
        """Every lot that was typed, each with what became of it; a person's slip that was mended does not count."""
        best: dict[tuple, Lot] = {}
        for slot in sorted(self._slots):
            found = _LOT.fullmatch(slot)
            texts = self._texts(slot) if found else []
            if texts:
                number, side = int(found[1] or 1), found[2]
                lot = Lot(side, number, texts, self._lot_state(side, number) if side else "in")
                old = best.get((side, *texts))
                if old is None or _STATES.index(lot.state) < _STATES.index(old.state):
                    best[(side, *texts)] = lot
        return list(best.values())

    def _texts(self, slot: str) -> list[str]:
        given = [e["body"].get("value") for e in self._slots[slot] if e["kind"] == "field-set"]
        return list(dict.fromkeys(text for text in given if isinstance(text, str) and text))

    def _lot_state(self, side: str, number: int) -> str:
        body = self.numbers.plan_body(number)
        return self._state(side, number) if body and body["plan"][side] else "unused"

    def _state(self, side: str, number: int) -> str:
        out = self._out_in(side, number)
        while out and self._went_back(side, out):
            out = self._out_in(side, out)
        return "out" if out else "in"

    def _went_back(self, side: str, number: int) -> bool:
        """The very rings that came out in a round went in again in it; older programs did not ask, and meant that."""
        before, body = self.planned(side, number - 1), self.numbers.plan_body(number)
        now = _pair_of(body, side, number) if body and body["plan"][side] else None
        is_same = before is not None and now is not None and before.identity == now.identity
        return is_same and self.numbers.field(f"round.{number}.prepare.{side}.same-rings") != "other"

    def _came_out(self, side: str, number: int) -> bool:
        return self._out_in(side, number) is not None

    def _out_in(self, side: str, number: int) -> int | None:
        for later in range(number + 1, self.current_round + 1):
            if any(self.is_done(f"round.{later}.fit.{side}.{step}") for step in _OUT_WHEN_DONE):
                return later
        return None

    def is_done(self, slot: str) -> bool:
        """Tell whether anybody says that it was done."""
        return any(entry["kind"] == "step-done" for entry in self._slots.get(slot, []))

    def _last_planned(self, side: str) -> Pair | None:
        for number in range(self.current_round, 0, -1):
            body = self.numbers.plan_body(number)
            if body and body["plan"][side]:
                return _pair_of(body, side, number)
        return None

    def _is_ticked(self, slot: str) -> bool:
        live = self._slots.get(slot, [])
        return bool(live) and all(e["kind"] == "step-done" for e in live)


def fit_slot(number: int, name: str, side: str) -> str:
    """Return the slot of a row at a wheel; only later rounds, and round 0, stand in front."""
    return f"{'' if number == 1 else f'round.{number}.'}fit.{side}.{name}"


def _named_plan(tick: dict) -> str | None:
    named = tick["body"].get("plan") if tick["kind"] == "step-done" else None
    return named if isinstance(named, str) else None


def _pair_of(body: dict, side: str, number: int) -> Pair:
    fitted, tables = body["plan"][side], body.get("tables")
    table = tables.get(fitted["ring_set"]) if isinstance(tables, dict) else None
    return Pair(fitted["ring_set"], fitted["pair"], number, table if isinstance(table, str) else None)


def fitting_of(rings: InstalledRings, side: str) -> dict | None:
    """Return what is in at a wheel, as phones get it; None: nothing that this job knows of.

    `{"ring_set", "table", "pair", "round", "seen", "bolts"}`, `seen` where somebody has ticked that the rings are in;
    or of rings that were found there and stayed `{"found": true, "ring_set", "pair"}`, as far as they could be read.
    """
    pair = rings.installed(side)
    if pair is None:
        return _found(rings, side) if side in rings.old_in else None
    return {
        "ring_set": pair.ring_set, "table": pair.table, "pair": pair.pair, "round": pair.round,
        "seen": rings.is_seen_in(side, pair.round), "bolts": _bolts(rings, side),
    }  # fmt: skip


def _found(rings: InstalledRings, side: str) -> dict:
    given = rings.numbers.field("vehicle.pair-marks")
    given = given if isinstance(given, dict) else {}
    marks, name = given.get(side), given.get("ring_set")
    pair = [marks.get(ring) for ring in ("inner", "outer")] if isinstance(marks, dict) else [None, None]
    return {"found": True, "ring_set": name if isinstance(name, str) else None, "pair": pair}


def _bolts(rings: InstalledRings, side: str) -> dict | None:
    """Return length and class of the hub bolts that closed the wheel last, as far as somebody wrote them down."""
    for number in range(rings.current_round, 0, -1):
        if rings.is_done(fit_slot(number, "bare-bolts", side)):
            return None
        done = rings.numbers.only(fit_slot(number, "bolt-length", side), "step-done")
        record = done["body"].get("length") if done else None
        if isinstance(record, dict):
            return {
                "new": record.get("new") is True,
                "length_mm": record.get("length_mm"),
                "class": record.get("class"),
            }
    return None
