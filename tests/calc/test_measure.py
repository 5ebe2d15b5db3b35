"""Ring sets measured from simulated rings and papers: what went in comes out, and what does not fit is named."""

import math
from random import Random

import numpy as np
import pytest

from calc.measure.measure import measure
from calc.measure.measure_rings import ring_from_readings
from calc.numbers.errors import InputError
from calc.numbers.sinusoid import fit_wave, name_outlier
from calc.numbers.units import text_from_mdeg
from calc.rings.rings import DIRECTIONS, FACES, Ring, RingSet, effect_of_pair

SHAPE = {
    "marks": 54,
    "first_mark": 1,
    "direction": "clockwise",
    "marked_face_right": "inboard",
    "outer_diameter_mm": 148.0,
    "bore_diameter_mm": 62.0,
}
MICROMETER_SD_MM = 0.004
RADIUS_MM = 70.0


def readings(random, taper_deg=0.55, thick=12.3, at=range(1, 55, 6), sd=MICROMETER_SD_MM, odd=None) -> list:
    """Return [[mark, thickness]] of a wedge with noise; `odd` = (place in the list, error in mm)."""
    rows = []
    for k, mark in enumerate(at):
        lean = math.tan(math.radians(taper_deg)) * math.cos(2 * math.pi * (mark - thick) / 54)
        error = odd[1] if odd and odd[0] == k else 0.0
        rows.append([mark, 2.4 + RADIUS_MM * lean + random.gauss(0, sd) + error])
    return rows


def ring_report(rows, **changes) -> dict:
    return ring_from_readings({**SHAPE, "radius_mm": RADIUS_MM, "readings": rows, **changes}, "inner")


def around(a: float, b: float, marks: int = 54) -> float:
    """Return how far apart two marks are, counted round."""
    return min((a - b) % marks, (b - a) % marks)


@pytest.mark.parametrize("thick", [1.0, 12.3, 53.8, 54.9])
@pytest.mark.parametrize("at", [range(1, 55, 6), [1, 2, 9, 17, 18, 30, 44, 51], [55, 60, 71, 80, 93, 100.5]])
def test_wedge_comes_out_of_its_readings(thick, at):
    """Even, uneven, and counted on past the last mark; the thick point also across the wrap-around."""
    found = ring_report(readings(Random(1), thick=thick, at=at))
    fit = found["fit"]
    assert abs(fit["taper_mdeg"] - 550) < 4 * fit["taper_se_mdeg"]
    assert around(fit["thick_mark"], thick) < 4 * fit["thick_mark_se"]
    assert abs(fit["mean_thickness_mm"] - 2.4) < 4 * fit["mean_thickness_se_mm"]
    assert found["outlier"] is None
    assert found["reasons"] == []
    assert Ring.from_json(found["ring"]).thick_mark == fit["thick_mark"]


def test_standard_errors_are_what_repeating_shows():
    random = Random(2)
    fits = [ring_report(readings(random), tool_sd_mm=0.0001)["fit"] for _ in range(300)]
    for key in ("taper_mdeg", "thick_mark", "mean_thickness_mm"):
        se = key.replace("_mdeg", "_se_mdeg").replace("_mm", "_se_mm") if key != "thick_mark" else "thick_mark_se"
        scatter = float(np.std([fit[key] for fit in fits]))
        stated = math.sqrt(float(np.mean([fit[se] ** 2 for fit in fits])))
        assert stated == pytest.approx(scatter, rel=0.2)


@pytest.mark.parametrize("place", range(9))
@pytest.mark.parametrize("error", [0.1, -0.2, 3.0])
def test_a_reading_that_does_not_fit_is_named_and_left_out(place, error):
    found = ring_report(readings(Random(place), odd=(place, error)))
    assert found["outlier"]["mark"] == 1 + 6 * place
    assert found["outlier"]["off_mm"] == pytest.approx(error, abs=0.03)
    assert "reading-does-not-fit" in found["reasons"]
    assert abs(found["ring"]["taper_mdeg"] - 550) <= 12
    assert found["fit_without"]["residual_sd_mm"] < 0.02 < 20 * found["fit"]["residual_sd_mm"]


def test_good_readings_are_rarely_called_outliers():
    random = Random(3)
    called = sum(ring_report(readings(random))["outlier"] is not None for _ in range(400))
    assert called <= 12  # one in a hundred by design


def test_five_readings_can_not_name_one_of_them():
    angle = np.arange(5) * 1.2
    assert name_outlier(fit_wave(angle, np.array([1.0, 1.0, 9.0, 1.0, 1.0]), 0.001)) is None


@pytest.mark.parametrize(
    ("rows", "reason"),
    [
        (readings(Random(4), at=[1, 15, 28, 42]), "few-readings"),
        (readings(Random(4), at=range(1, 20, 2)), "wide-gap"),
        (readings(Random(4), sd=0.04), "readings-scatter"),
        (readings(Random(4), taper_deg=0.002), "thick-mark-uncertain"),
        (readings(Random(4), taper_deg=0.0, sd=0.0), "no-taper"),
        (readings(Random(4), taper_deg=1.9), "no-such-ring"),  # the thin edge would not be there
    ],
)
def test_reasons_not_to_trust_a_ring(rows, reason):
    assert reason in ring_report(rows)["reasons"]


def test_readings_in_one_place_are_refused():
    with pytest.raises(InputError, match=r"^inner\.readings: expected readings at three or more marks"):
        ring_report([[5, 2.4], [5, 2.41], [59, 2.4], [32, 2.2], [32, 2.21]])


def test_both_rings_make_a_ring_set_that_is_ready_to_use():
    random = Random(6)
    ring = {**SHAPE, "radius_mm": RADIUS_MM, "readings": readings(random)}
    found = measure({"from": "thickness", "id": "bought", "name": "Bought", "inner": ring, "outer": ring})
    assert found["trustworthy"] is True
    assert RingSet.from_json(found["ring_set"]).inner.taper_mdeg == pytest.approx(550, abs=10)


def any_ring(random: Random) -> Ring:
    return Ring(
        random.choice([36, 40, 54, 66, 72]),
        random.randint(0, 1),
        random.choice(DIRECTIONS),
        random.choice(FACES),
        random.randint(150, 1500),
        8,
        round(random.uniform(1, 30), 2),
        5.0,
        148.0,
        62.0,
    )


def paper(random: Random, count: int, units: dict | None = None, odd: int | None = None) -> tuple[RingSet, dict]:
    """Return a random ring set and the paper that its maker would print of `count` pairs, perhaps with a misprint."""
    rings = RingSet("paper", "Paper", 1, None, any_ring(random), any_ring(random))
    units = units or {"camber": "deg", "toe": "deg", "camber_positive": "top-out", "toe_positive": "out"}
    rows = []
    for k in range(count):
        pair = [random.choice(ring.mark_numbers.tolist()) for ring in (rings.inner, rings.outer)]
        camber, toe = (math.degrees(float(angle)) * 1000 for angle in effect_of_pair(rings, *pair))
        if k == odd:
            camber += random.choice([-1, 1]) * random.uniform(200, 600)
        camber *= 1 if units["camber_positive"] == "top-out" else -1
        toe *= 1 if units["toe_positive"] == "in" else -1
        text = {
            "camber": text_from_mdeg(round(camber), units["camber"]),
            "toe": text_from_mdeg(round(toe), units["toe"], units.get("diameter_mm")),
        }
        rows.append({"pair": pair, **text})
    typed = ("marks", "first_mark", "marked_face_right", "centre_thickness_mm", "outer_diameter_mm", "bore_diameter_mm")
    shapes = {name: {key: getattr(getattr(rings, name), key) for key in typed} for name in ("inner", "outer")}
    return rings, {"from": "paper", "id": "p", "name": "P", "units": units, "rows": rows, **shapes}


def agrees(found: dict, rings: RingSet) -> bool:
    """Return whether tapers, thick marks and directions are those of the rings, within four standard errors."""
    for name, ring in (("inner", rings.inner), ("outer", rings.outer)):
        report = found["rings"][name]
        near = abs(report["taper_mdeg"] - ring.taper_mdeg) <= 4 * report["taper_se_mdeg"] + 1
        same_mark = around(report["thick_mark"], ring.thick_mark, ring.marks) <= 4 * report["thick_mark_se"] + 0.02
        if not (near and same_mark and report["direction"] == ring.direction):
            return False
    return True


@pytest.mark.parametrize(
    "units",
    [
        {"camber": "deg", "toe": "deg", "camber_positive": "top-out", "toe_positive": "out"},
        {"camber": "deg-min", "toe": "deg-min", "camber_positive": "top-in", "toe_positive": "in"},
        {"camber": "deg", "toe": "mm", "camber_positive": "top-out", "toe_positive": "in", "diameter_mm": 400},
        {"camber": "deg-min", "toe": "inch", "camber_positive": "top-in", "toe_positive": "out", "diameter_mm": 381},
    ],
    ids=lambda units: f"{units['camber']}-{units['toe']}",
)
def test_paper_gives_both_rings_back(units):
    random, trusted = Random(7), 0
    for _ in range(25):
        rings, obj = paper(random, random.randint(6, 12), units)
        found = measure(obj)
        if found["trustworthy"]:
            trusted += 1
            assert agrees(found, rings)
            assert RingSet.from_json(found["ring_set"]).inner.direction == rings.inner.direction
    assert trusted >= 22


def test_four_rows_are_enough_or_say_that_they_are_not():
    random, trusted = Random(8), 0
    for _ in range(60):
        rings, obj = paper(random, 4)
        found = measure(obj)
        trusted += found["trustworthy"]
        assert agrees(found, rings) or not found["trustworthy"]
    assert trusted >= 40


def test_misprinted_row_is_named():
    random, named = Random(9), 0
    for _ in range(40):
        count = random.randint(6, 12)
        odd = random.randrange(count)
        rings, obj = paper(random, count, odd=odd)
        found = measure(obj)
        assert not found["trustworthy"]
        misfits = [k for k, row in enumerate(found["rows"]) if not row["fits"]]
        named += misfits == [odd]
        assert misfits in ([odd], [])
        if misfits and not {reason["code"] for reason in found["reasons"]} & {"direction-not-settled"}:
            assert agrees(found, rings)
            assert abs(found["rows"][odd]["camber_off"]) > 150
    assert named >= 38


def test_rows_that_all_turn_alike_do_not_tell_the_rings_apart():
    _, obj = paper(Random(10), 4)
    for ring in ("inner", "outer"):
        obj[ring] = {**obj[ring], "marks": 54, "first_mark": 1}
    texts = [("0.50", "0.00"), ("0.00", "0.50"), ("-0.50", "0.00"), ("0.00", "-0.50")]
    steps = ([1, 1], [14, 14], [28, 28], [41, 41])
    obj["rows"] = [{"pair": p, "camber": c, "toe": t} for p, (c, t) in zip(steps, texts, strict=True)]
    codes = {reason["code"] for reason in measure(obj)["reasons"]}
    assert codes & {"rows-too-alike", "direction-not-settled", "rows-do-not-agree"}


def test_paper_of_something_else_is_not_trusted():
    random = Random(12)
    _, obj = paper(random, 8)
    for row in obj["rows"]:
        row["camber"], row["toe"] = f"{random.uniform(-1, 1):.2f}", f"{random.uniform(-1, 1):.2f}"
    found = measure(obj)
    assert {reason["code"] for reason in found["reasons"]} >= {"rows-do-not-agree"}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"from": "guess"}, "from"),
        ({"rows": []}, "rows"),
        ({"rows": [{"pair": [1, 99], "camber": "0", "toe": "0"}] * 4}, r"rows\[0\]\.pair\[1\]"),
        ({"rows": [{"pair": [1, 1], "camber": "abc", "toe": "0"}] * 4}, r"rows\[0\]\.camber"),
        (
            {"units": {"camber": "mm", "toe": "deg", "camber_positive": "top-in", "toe_positive": "in"}},
            r"units\.camber",
        ),
        ({"name": ""}, "name"),
        ({"colour": "x"}, "colour"),
    ],
)
def test_bad_input_is_named(change, field):
    _, obj = paper(Random(11), 6)
    with pytest.raises(InputError, match=f"^{field}: expected"):
        measure({**obj, **change})
