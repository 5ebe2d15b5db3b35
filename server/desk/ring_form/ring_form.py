"""A ring-set form from what was typed to a ring set, by calc: errors in words beside their fields, nothing typed lost.

It stores nothing. What calc does not trust is shown with its reasons and kept only if a person says so.
"""

import re
from dataclasses import dataclass, field

from calc.measure.measure import measure
from calc.numbers.errors import InputError
from calc.numbers.sides import RINGS
from calc.rings.rings import RingSet
from server.desk.ring_form.ring_fields import OWN_OF_EACH_RING, PER_RING, fields_of, number_from, read_field

SAME = "outer.same"  # what is typed of the outer ring goes before
_LONGEST = 20_000
_LINE = re.compile(r"(.*?)\[(\d+)\](?:\[(\d+)\]|\.(\w+)(?:\[(\d+)\])?)?$")
_PART_NAMES = {
    "readings": {"0": "mark", "1": "thickness"},
    "rows": {"pair0": "inner mark", "pair1": "outer mark", "camber": "camber", "toe": "toe"},
}


@dataclass
class Form:
    """What was typed, what is wrong with it (field -> words), and what it makes.

    `ring_set`: a checked RingSet, or None. `report`: what calc.measure.measure said of `asked`, or None for typed data.
    """

    source: str
    typed: dict[str, str]
    flaws: dict[str, str] = field(default_factory=dict)
    ring_set: RingSet | None = None
    report: dict | None = None
    asked: dict = field(default_factory=dict)

    @property
    def reasons(self) -> list[dict]:
        return self.report["reasons"] if self.report else []

    @property
    def odd_readings(self) -> dict[str, str]:
        """Return ring -> the reading of it that does not fit, by its mark and line, and how far it is off."""
        if not self.report or self.source != "thickness":
            return {}
        found = {ring: self.report["rings"][ring]["outlier"] for ring in RINGS}
        return {ring: self._odd_words(ring, odd) for ring, odd in found.items() if odd}

    def _odd_words(self, ring: str, odd: dict) -> str:
        line = self.asked[ring]["readings"].index([odd["mark"], odd["thickness_mm"]]) + 1
        way = "thicker" if odd["off_mm"] > 0 else "thinner"
        return (
            f"Mark {odd['mark']:g} (line {line}): {odd['thickness_mm']:g} mm is {abs(odd['off_mm']):.3f} mm {way}"
            " than the others say"
        )

    @property
    def results(self) -> list[dict]:
        """What was worked out of each ring, inner first: without the reading that does not fit, where there is one."""
        found = [self.report["rings"][ring] for ring in RINGS]
        return [each["fit_without"] or each["fit"] for each in found] if self.source == "thickness" else found


def typed_from(source: str, posted) -> dict[str, str]:
    """Return field -> text of a posted form, cut where it is longer than any honest one."""
    names = [each.name for each in fields_of(source)] + [SAME, "accept"]
    return {name: posted.get(name, "").strip()[:_LONGEST] for name in names}


def read_form(source: str, typed: dict[str, str], ring_set_id: str, revision: int) -> Form:
    """Return the form worked out as far as it goes."""
    form = Form(source, typed)
    asked = _read_fields(form, _with_same(source, typed))
    if form.flaws:
        return form
    try:
        make = _from_data if source == "data" else _measured
        form.ring_set = make(form, asked, ring_set_id, revision)
    except InputError as error:
        _add_flaw(form, error)
    return form


def _with_same(source: str, typed: dict[str, str]) -> dict[str, str]:
    """Return the fields with the outer ring's empty ones taken from the inner ring, where the person said so."""
    if not typed.get(SAME):
        return typed
    full = dict(typed)
    for each in PER_RING[source]:
        inner, outer = f"inner.{each.name}", f"outer.{each.name}"
        if each.name not in OWN_OF_EACH_RING[source] and inner in full and not full.get(outer):
            full[outer] = full[inner]
    return full


def _read_fields(form: Form, typed: dict[str, str]) -> dict:
    """Return the fields as the nested object that calc takes; every flaw is noted, not only the first.

    A form that was kept before a field was asked for goes without it.
    """
    asked: dict = {}
    for each in fields_of(form.source):
        if each.name not in typed:
            continue
        try:
            part = read_field(each, typed[each.name])
        except InputError as error:
            _add_flaw(form, error)
            continue
        if part is None and each.name not in ("max_tilt_mdeg", "units.diameter_mm"):
            continue
        *groups, last = each.name.split(".")
        inner = asked
        for group in groups:
            inner = inner.setdefault(group, {})
        inner[last] = part
    return asked


def _from_data(_form: Form, asked: dict, ring_set_id: str, revision: int) -> RingSet:
    head = {"format": 1, "id": ring_set_id, "revision": revision}
    return RingSet.from_json(head | {key: asked[key] for key in ("name", "max_tilt_mdeg", *RINGS)})


def _measured(form: Form, asked: dict, ring_set_id: str, revision: int) -> RingSet | None:
    if form.source == "thickness":
        for ring in RINGS:
            asked[ring]["readings"] = _readings(asked[ring]["readings"], f"{ring}.readings")
    else:
        asked["rows"] = _rows(asked["rows"])
    form.asked = {"from": form.source, "id": ring_set_id, **asked}
    form.report = measure(form.asked)
    made = form.report["ring_set"]
    return made and RingSet.from_json(made | {"revision": revision})


def _readings(lines: list[list[str]], name: str) -> list[list[float]]:
    return [_numbers(parts, 2, f"{name}[{at}]", "mark and thickness") for at, parts in enumerate(lines)]


def _numbers(parts: list[str], wanted: int, name: str, expected: str) -> list[float]:
    if len(parts) != wanted:
        raise InputError(name, expected, f"“{' '.join(parts)}”")
    return [number_from(part, f"{name}[{at}]") for at, part in enumerate(parts)]


def _rows(lines: list[list[str]]) -> list[dict]:
    rows = []
    for at, parts in enumerate(lines):
        if len(parts) != 4 or not all(mark.isascii() and mark.isdigit() and len(mark) < 5 for mark in parts[:2]):
            raise InputError(f"rows[{at}]", "inner mark, outer mark, camber, toe", f"“{' '.join(parts)}”")
        rows.append({"pair": [int(parts[0]), int(parts[1])], "camber": parts[2], "toe": parts[3]})
    return rows


def _add_flaw(form: Form, error: InputError) -> None:
    """Note what calc or a field said beside the field that it is about; one field has one flaw."""
    name, where = _place(error.field.removeprefix("ring_set."))
    known = {each.name for each in fields_of(form.source)}
    name = name if name in known else "name"
    expected = error.expected[:1].upper() + error.expected[1:]
    form.flaws.setdefault(name, f"{where}Expected: {expected}. Got: {error.got}.")


def _place(path: str) -> tuple[str, str]:
    """Return (field, which line of it): "inner.readings[3][1]" is line 4, thickness."""
    found = _LINE.match(path)
    if not found:
        return path, ""
    name, line, part, key, at = found.groups()
    parts = _PART_NAMES.get(name.rpartition(".")[2], {})
    which = parts.get(part or f"{key or ''}{at or ''}")
    return name, f"Line {int(line) + 1}{f', {which}' if which else ''}. "


def typed_of(ring_set: dict, source: str) -> dict[str, str]:
    """Return a ring set as a form would have been filled in, as far as its data say.

    Beside a paper the way of the numbers is what somebody sees on the ring, never what the paper's rows said of it.
    """
    typed = dict.fromkeys((each.name for each in fields_of(source)), "")
    for each in fields_of(source):
        if source == "paper" and each.name.endswith(".direction"):
            continue
        inner = ring_set
        for part in each.name.split("."):
            inner = inner.get(part) if isinstance(inner, dict) else None
        if inner is not None:
            typed[each.name] = said(each.kind, inner)
    return typed


def said(kind: str, part) -> str:
    """Return a value of a ring set as it is typed and shown."""
    if kind == "degrees":
        return f"{part / 1000:g}"
    return f"{part:g}" if isinstance(part, float) else str(part)
