"""Choosing equals exhaustive search, ties included, and keeps its own rules of order."""

import copy

import pytest
from hypothesis import given, settings

from calc.choose.choose import choose
from calc.numbers.errors import InputError
from fixtures.golden.choose_cases import RING_SETS, Cases, ring, ring_set
from tests.calc.exhaustive import best_plans, plans_of, wheel_options
from tests.calc.strategies import choose_inputs

SETS = {obj["id"]: obj for obj in RING_SETS}


def with_sets(case: dict, names: list[str] | None = None) -> dict:
    return {**case, "ring_sets": [SETS[name] for name in names or case["ring_sets"]]}


def choose_or_nothing(case: dict) -> dict:
    """Return the output; no plans where rings are wanted but every pair tilts more than max_tilt_mdeg allows."""
    if (
        any(wheel["rings"] == "yes" for wheel in case["wheels"].values())
        and not wheel_options(case["ring_sets"], True)[0]
    ):
        with pytest.raises(InputError, match="no ring set offers an index pair"):
            choose(case)
        return {"plans": []}
    return choose(case)


@settings(max_examples=150)
@given(choose_inputs())
def test_equals_exhaustive_search(case):
    expected = best_plans(case)
    assert plans_of(choose_or_nothing(case), case) == expected


@pytest.mark.parametrize("kind", ["usual", "any_windows", "total_only", "forced", "bands"])
def test_equals_exhaustive_search_on_ring_sets_of_real_size(kind):
    """One large ring set, two wheels: up to a million joint pairs each."""
    maker = Cases()
    for name in ("eighteen-limited", "forty"):
        case = with_sets(getattr(maker, kind)(), [name])
        for wheel in case["wheels"].values():
            wheel["rings"] = "auto"
        assert plans_of(choose(case), case) == best_plans(case)


@pytest.mark.parametrize("attempt", range(12))
def test_ties_go_to_the_smallest_marks(attempt):
    """Alike rings and hardly any window: hundreds of pairs are exactly equal."""
    maker = Cases()
    case = with_sets([maker.ties() for _ in range(attempt + 1)][-1])
    assert plans_of(choose(case), case) == best_plans(case)


def test_without_any_window_every_pattern_has_its_first_pair():
    case = with_sets(Cases().plain(["six", "twelve"]))
    case["windows"] = {side: {"camber": None, "toe": None, "aim": None} for side in ("left", "right")}
    case["axle"] = dict.fromkeys(case["axle"])
    plans = choose(case)["plans"]
    assert [plan["pairs"] for plan in plans] == [0, 1, 1, 2]
    assert plans[3]["left"]["pair"] == plans[3]["right"]["pair"] == [1, 1]
    assert {plan["chance"] for plan in plans} == {1.0}
    assert {plan["distance"] for plan in plans} == {0.0}


@settings(max_examples=60)
@given(choose_inputs())
def test_the_figures_of_a_plan_follow_from_its_effects(case):
    plans = choose_or_nothing(case)["plans"]
    for plan in plans:
        for place, angle in enumerate(("camber", "toe")):
            for side in ("left", "right"):
                effect = plan[side]["effect"][place] if plan[side] else 0
                assert plan["predicted"][side][place] == case["wheels"][side][angle] + effect
        (left_camber, left_toe), (right_camber, right_toe) = plan["predicted"]["left"], plan["predicted"]["right"]
        assert plan["axle"]["total_toe"] == left_toe + right_toe
        assert plan["axle"]["thrust"] == (left_toe - right_toe) / 2
        assert plan["axle"]["cross_camber"] == left_camber - right_camber
        assert plan["pairs"] == (plan["left"] is not None) + (plan["right"] is not None)


@settings(max_examples=60)
@given(choose_inputs())
def test_plans_are_in_order(case):
    groups = {}
    for plan in choose_or_nothing(case)["plans"]:
        groups.setdefault((plan["toe_steps"], plan["camber_steps"]), []).append(plan)
    assert list(groups) == sorted(groups)
    for first, *others in groups.values():
        count, *counts = (round(plan["chance"] * 4096) for plan in (first, *others))
        best = max(count, *counts, 0)
        assert best - count <= 819
        assert counts == sorted(counts, reverse=True)
        close = [(plan["pairs"], -n) for plan, n in zip(others, counts, strict=True) if best - n <= 819]
        assert all((first["pairs"], -count) <= other for other in close)


def test_fewer_pairs_come_first_where_the_chance_is_close():
    case = with_sets(Cases().plain(["fifty-four"]))
    case["wheels"] = {
        "left": {"camber": -1640, "toe": 420, "rings": "auto"},
        "right": {"camber": -1120, "toe": 60, "rings": "auto"},
    }
    one, two = choose(case)["plans"][:2]
    assert (one["pairs"], two["pairs"]) == (1, 2)
    assert 0 < two["chance"] - one["chance"] <= 0.2


def test_no_pair_beyond_the_largest_tilt_is_offered():
    limited = ring_set("limited", ring(24, 800), max_tilt=300)
    case = {**Cases().plain([]), "ring_sets": [limited]}
    case["wheels"] = {side: {"camber": -3000, "toe": 900, "rings": "yes"} for side in ("left", "right")}
    (plan,) = choose(case)["plans"]
    for side in ("left", "right"):
        camber, toe = plan[side]["effect"]
        assert 200**2 < camber**2 + toe**2 <= 300**2


def test_a_shop_without_ring_sets_still_gets_an_answer():
    case = {**Cases().plain([]), "ring_sets": []}
    assert [plan["pairs"] for plan in choose(case)["plans"]] == [0]


def test_rings_that_are_wanted_but_not_there_are_refused():
    case = {**Cases().plain([]), "ring_sets": []}
    case["wheels"]["right"]["rings"] = "yes"
    with pytest.raises(InputError, match=r"wheels\.right\.rings: expected auto or no"):
        choose(case)


def test_the_input_is_left_as_it_was():
    case = with_sets(Cases().usual())
    before = copy.deepcopy(case)
    choose(case)
    assert case == before


def test_one_case_by_hand():
    """Four marks, tapers of 500: the effects are the nine points of a small lattice, so the best is plain to see.

    The left wheel wants camber +1000 and toe 0: thick points both at the top, marks 1 and 1 (thick mark 1).
    """
    case = Cases().plain([])
    case["ring_sets"] = [ring_set("four", ring(4, 500))]
    case["wheels"] = {
        "left": {"camber": -2000, "toe": 100, "rings": "yes"},
        "right": {"camber": -1000, "toe": 100, "rings": "no"},
    }
    (plan,) = choose(case)["plans"]
    assert plan["left"] == {"ring_set": "four", "pair": [1, 1], "effect": [1000, 0]}
    assert (plan["toe_outside"], plan["camber_outside"], plan["distance"]) == (0, 0, 0.0)
