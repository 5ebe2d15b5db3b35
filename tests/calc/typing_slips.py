"""Slips of a person who types a chart in: digits, signs, points, marks and lines mistaken. It judges nothing."""

import math
from dataclasses import replace
from random import Random

from tests.calc.charts import Chart

KINDS = ("digit", "swapped", "sign", "point", "mark", "line", "column")


def slipped(random: Random, clean: Chart, count: int, least_mdeg: float) -> tuple[Chart, list[int]]:
    """Return the chart with slips in `count` rows and where, each of `least_mdeg` or more."""
    rows, places = list(clean.rows), sorted(random.sample(range(len(clean.rows)), count))
    for place in places:
        for _ in range(500):
            changed = _slip(random, random.choice(KINDS), clean, place)
            if changed and _counts(clean, clean.rows[place], changed, least_mdeg):
                rows[place] = changed
                break
        else:
            raise AssertionError("no slip is large enough for this row")
    return replace(clean, rows=tuple(rows)), places


def _counts(chart: Chart, row: tuple, changed: tuple, least_mdeg: float) -> bool:
    """Return whether the changed row is off by enough: by its marks or by its numbers, and can still be typed."""
    by_marks = math.dist(chart.does(*row[:2]), chart.does(*changed[:2]))
    by_text = math.dist(_degrees(chart, row), _degrees(chart, changed))
    return 1000 * (by_marks + by_text) >= least_mdeg and max(map(abs, _degrees(chart, changed))) < 19


def _degrees(chart: Chart, row: tuple) -> tuple[float, float]:
    """Return what the texts of a row say, in degrees, as a person would reckon it."""
    camber, toe = row[2:]
    asked = chart.asked()["units"]
    return _angle(camber, asked["camber"], asked["diameter_mm"]), _angle(toe, asked["toe"], asked["diameter_mm"])


def _angle(text: str, unit: str, diameter_mm: float | None) -> float:
    sign, text = (-1 if text.startswith("−") else 1), text.lstrip("−")
    if unit == "deg-min":
        degrees, minutes = text.rstrip("'").split("°")
        return sign * (int(degrees) + int(minutes) / 60)
    if unit == "deg":
        return sign * float(text)
    length = sum(int(p.split("/")[0]) / int(p.split("/")[1]) if "/" in p else float(p) for p in text.split())
    ratio = length * (25.4 if unit == "inch" else 1) / diameter_mm
    return sign * math.degrees(math.asin(max(-1.0, min(1.0, ratio))))


def _slip(random: Random, kind: str, chart: Chart, place: int) -> tuple | None:
    rows = chart.rows
    inner, outer, *texts = rows[place]
    if kind == "line":  # the numbers of the line above or below
        other = rows[place - 1 if place else 1]
        return inner, outer, *other[2:]
    if kind == "column":  # camber typed where toe belongs
        units = chart.asked()["units"]
        return (inner, outer, texts[1], texts[0]) if units["camber"] == units["toe"] else None
    at = random.randrange(2)
    if kind == "mark":
        marks = [inner, outer]
        changed = _digit(random, str(marks[at])) if random.random() < 0.5 else _swapped(random, str(marks[at]))
        marks[at] = int(changed) if changed else -1
        chart_marks = {row[at] for row in rows}
        return (*marks, *texts) if 0 < marks[at] <= max(chart_marks) and marks[at] != (inner, outer)[at] else None
    changes = {"digit": _digit, "swapped": _swapped, "sign": _sign, "point": _point}
    changed = changes[kind](random, texts[at])
    if changed is None or changed == texts[at]:
        return None
    texts[at] = changed
    return (inner, outer, *texts)


def _digit(random: Random, text: str) -> str | None:
    """One digit mistaken; minutes stay below 60, and a fraction keeps its denominator."""
    places = [k for k, sign in enumerate(text.partition("/")[0]) if sign.isdigit()]
    k = random.choice(places)
    top = 5 if text[k + 1 : k + 2].isdigit() and "'" in text and k >= text.index("°") else 9
    return text[:k] + str(random.randint(0, top)) + text[k + 1 :]


def _swapped(_random: Random, text: str) -> str | None:
    """Two neighbouring digits exchanged; over a decimal point too. Not in minutes or fractions."""
    places = [k for k, sign in enumerate(text) if sign.isdigit()]
    if len(places) < 2 or any(sign in text for sign in "°/"):
        return None
    a, b = places[-2:]
    signs = list(text)
    signs[a], signs[b] = signs[b], signs[a]
    return "".join(signs)


def _sign(_random: Random, text: str) -> str | None:
    return text[1:] if text.startswith("−") else "−" + text


def _point(random: Random, text: str) -> str | None:
    """The decimal point one place to the left or right."""
    if "." not in text:
        return None
    sign, plain = ("−", text[1:]) if text.startswith("−") else ("", text)
    whole, _, rest = plain.partition(".")
    return f"{sign}{whole}{rest[0]}.{rest[1:] or 0}" if random.random() < 0.5 else f"{sign}0.{whole}{rest}"
