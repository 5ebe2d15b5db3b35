"""Which readings contradict each other: not a millidegree earlier than three standard deviations of a difference."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.numbers.disagreeing import disagreeing
from fixtures.golden import make_disagreeing
from tests.calc.goldens import cases_of

SDS = {"camber": 50, "toe": 30}


def one_side(*readings) -> dict:
    return {"left": [{"n": n, "camber": c, "toe": t} for n, (c, t) in enumerate(readings, 1)], "right": []}


@pytest.mark.parametrize(
    ("a", "b", "angles"),
    [
        ((-1000, 100), (-1212, 227), []),
        ((-1000, 100), (-1213, 227), ["camber"]),
        ((-1000, 100), (-1212, 228), ["toe"]),
        ((-1000, None), (-1000, 900), []),
    ],
)
def test_the_limit_is_three_times_the_sd_of_a_difference(a, b, angles):
    assert [each["angle"] for each in disagreeing(one_side(a, b), SDS)] == angles


def test_a_third_reading_frees_nothing():
    found = disagreeing(one_side((870, 0), (-870, 0), (-860, 0)), SDS)
    assert [each["between"] for each in found] == [[1, 2], [1, 3]]
    assert {tuple(each["looks"]) for each in found} == {("mirrored",)}


def test_sides_exchanged_are_recognised_where_both_wheels_fit_crosswise():
    left, right = (-1500, 300), (-600, -50)
    readings = {
        side: [{"n": n, "camber": c, "toe": t} for n, (c, t) in enumerate(pair, 1)]
        for side, pair in (("left", (left, right)), ("right", (right, left)))
    }
    found = disagreeing(readings, SDS)
    assert len(found) == 4
    assert all(each["looks"] == ["crosswise"] for each in found)
    readings["right"][1]["toe"] += 200
    assert all("crosswise" not in each["looks"] for each in disagreeing(readings, SDS))


@given(st.lists(st.tuples(st.integers(-3000, 3000), st.integers(-3000, 3000)), max_size=5), st.floats(5, 500))
def test_nothing_is_found_exactly_where_all_are_close(readings, sd):
    found = disagreeing(one_side(*readings), {"camber": sd, "toe": sd})
    columns = list(zip(*readings, strict=True)) or [(0,), (0,)]
    widest = max(max(column) - min(column) for column in columns)
    if not math.isclose(widest, 3 * math.sqrt(2) * sd):
        assert bool(found) == (widest > 3 * math.sqrt(2) * sd)


def test_the_golden_cases_hold_every_look():
    looks = [tuple(each["looks"]) for case in cases_of(make_disagreeing) for each in case["disagreeing"]]
    assert set(looks) == {(), ("mirrored",), ("crosswise",), ("mirrored", "crosswise")}
    assert sum(not case["disagreeing"] for case in cases_of(make_disagreeing)) >= 20
