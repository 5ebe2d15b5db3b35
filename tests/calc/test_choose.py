"""Choosing equals exhaustive search, ties included, and keeps its own rules of order."""

import copy

import pytest
from hypothesis import given, settings

from calc.choose import plan_order
from calc.choose.choose import choose
from calc.choose.main_button import main_button
from calc.numbers.errors import InputError
from fixtures.golden.choose_cases import RING_SETS, Cases, ring, ring_set
from tests.calc.exhaustive import best_plans, in_options, in_order, needless_of, plans_of, wheel_options
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
        return {"plans": [], "other_way": None}
    return choose(case)


def assert_is_exhaustive(case: dict, output: dict) -> None:
    """Assert that the plans, their order, what is needless in them and the other way are those of brute force."""
    expected, plans = best_plans(case), plans_of(output, case)
    assert plans == expected
    assert [plan["needless"] for plan in output["plans"]] == [needless_of(case, plan[-2:]) for plan in plans.values()]
    if not plans:
        return
    assert list(plans) == in_order(case, expected)
    pattern, best = next(iter(plans.items()))
    other = best_plans(case, is_camber_first=True)[pattern] if best[2] else best
    shown = in_options([output["other_way"]], case, is_camber_first=True) if output["other_way"] else []
    assert shown == ([] if other[-2:] == best[-2:] else [other])


@settings(max_examples=150)
@given(choose_inputs())
def test_equals_exhaustive_search(case):
    assert_is_exhaustive(case, choose_or_nothing(case))


@pytest.mark.parametrize("kind", ["usual", "any_windows", "total_only", "forced", "bands", "open_windows"])
def test_equals_exhaustive_search_on_ring_sets_of_real_size(kind):
    """One large ring set, two wheels: up to a million joint pairs each."""
    maker = Cases()
    for name in ("eighteen-limited", "forty"):
        case = with_sets(getattr(maker, kind)(), [name])
        for wheel in case["wheels"].values():
            wheel["rings"] = "auto"
        assert_is_exhaustive(case, choose(case))


@pytest.mark.parametrize("kind", ["coarse_sets", "inside_but_for_the_axle"])
def test_equals_exhaustive_search_where_the_order_and_a_single_ring_set_are_at_stake(kind):
    maker = Cases()
    for _ in range(25):
        case = with_sets({**getattr(maker, kind)(), "ring_sets": ["six", "eight-small", "four-five"]})
        assert_is_exhaustive(case, choose(case))


@pytest.mark.parametrize("attempt", range(12))
def test_ties_go_to_the_smallest_marks(attempt):
    """Alike rings and hardly any window: hundreds of pairs are exactly equal."""
    maker = Cases()
    case = with_sets([maker.ties() for _ in range(attempt + 1)][-1])
    assert_is_exhaustive(case, choose(case))


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


def plan(**changes) -> dict:
    inside = {"toe_outside": 0, "camber_outside": 0, "toe_steps": 0, "camber_steps": 0}
    return {**inside, "needless": 0, "pairs": 1, "chance": 0.9, **changes}


def test_a_needless_wheel_in_vain_comes_after_all_others():
    in_vain = plan(needless=1, toe_outside=0.5, chance=0.99)
    far = plan(toe_outside=900, toe_steps=30, chance=0.0)
    assert plan_order.in_order([in_vain, far]) == [far, in_vain]
    assert plan_order.in_order([{**in_vain, "toe_outside": 0}, far])[1] == far


def test_what_is_needless_comes_after_what_is_not_but_never_at_the_price_of_half_the_chance():
    spare, needless = plan(chance=0.4), plan(needless=1, pairs=2, chance=0.8)
    assert plan_order.in_order([needless, spare]) == [spare, needless]
    likelier = {**needless, "chance": 0.81}
    assert plan_order.in_order([spare, likelier]) == [likelier, spare]


def grade_of(plan: dict) -> tuple:
    return plan["toe_steps"], plan["camber_steps"], plan["toe_outside"] + plan["camber_outside"] > 0


def test_one_ring_set_takes_the_place_of_two_where_that_costs_little():
    """Each by itself the wheels are best served by one set and the other; both stand in the goldens many times."""
    maker, kept, replaced = Cases(), 0, 0
    for _ in range(150):
        case = with_sets(maker.coarse_sets())
        (found,) = choose(case)["plans"]
        sets = {found[side]["ring_set"] for side in ("left", "right")}
        alone = [choose({**case, "ring_sets": [one]})["plans"][0] for one in case["ring_sets"]]
        near = min((each["distance"] for each in alone if grade_of(each) == grade_of(found)), default=None)
        if len(sets) == 2 and near is not None:
            kept += 1
            closest = next(each for each in alone if each["distance"] == near)
            assert (found["chance"] - closest["chance"]) * 4096 > 819
        elif len(sets) == 1:
            replaced += near == found["distance"]
    assert kept > 0
    assert replaced > 20


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


@pytest.mark.parametrize(
    ("advice", "chance", "action", "wheels"),
    [
        ([], 0.5, "take-plan", []),
        (["one-wheel-off"], 0.9, "take-plan", []),
        ([], 0.4999, "look-for-cause", []),
        (["reread-right"], 0.99, "read-again", ["right"]),
        (["reread-left", "reread-right", "out-of-reach"], 0.1, "read-again", ["left", "right"]),
    ],
)
def test_what_may_stand_on_a_main_button(advice, chance, action, wheels):
    chosen = {"advice": advice, "plans": [{"chance": chance}, {"chance": 1.0}]}
    assert main_button(chosen) == {"action": action, "wheels": wheels}


def test_the_other_way_says_what_each_gives_up():
    """Toe and camber cannot both be had: the other way gains camber and costs toe, with rings on the same wheels."""
    case = with_sets(Cases().plain(["fifty-four"]))
    case["wheels"] = {
        "left": {"camber": -2900, "toe": 700, "rings": "yes"},
        "right": {"camber": -1000, "toe": 100, "rings": "no"},
    }
    chosen = choose(case)
    best, other = chosen["plans"][0], chosen["other_way"]
    assert other["toe_steps"] > best["toe_steps"]
    assert other["camber_steps"] < best["camber_steps"]
    assert other["right"] is None
    assert choose({**case, "wheels": {**case["wheels"], "left": {**case["wheels"]["right"]}}})["other_way"] is None


def one_wheel(windows: dict, left=(-1000, 100)) -> dict:
    case = with_sets(Cases().plain(["fifty-four"]))
    case["wheels"]["left"] = {"camber": left[0], "toe": left[1], "rings": "yes"}
    case["wheels"]["right"] = {"camber": -1000, "toe": 100, "rings": "no"}
    case["windows"]["left"] = {"camber": [-1500, -500], "toe": [0, 200], "aim": None, **windows}
    return {**case, "axle": dict.fromkeys(case["axle"])}


@pytest.mark.parametrize(
    ("windows", "camber", "toe"),
    [
        ({}, (-1000, "window", None), (100, "window", None)),
        ({"camber": [None, -500]}, (-608, "window", 108), (100, "window", None)),
        ({"camber": [-500, None], "toe": [0, None]}, (-392, "window", 108), (78, "window", 78)),
        ({"camber": [None, -500], "aim": [-900, 50]}, (-900, "stated", None), (50, "stated", None)),
    ],
)
def test_a_window_open_on_one_side_aims_at_its_edge_moved_in_by_two_sds(windows, camber, toe):
    """Two SDs of reading and seat are 2 sqrt(50^2 + 20^2) = 107.7, with thrust 2 sqrt(30^2 + 20^2 + 15^2) = 78.1."""
    aims = choose(one_wheel(windows))["aims"]["left"]
    assert [tuple(aims[part].values()) for part in ("camber", "toe")] == [camber, toe]


def test_what_lies_beyond_an_open_side_is_inside_and_the_plan_aims_inside_the_edge():
    case = one_wheel({"camber": [None, -1500]}, left=(-1400, 100))
    (found,) = choose(case)["plans"]
    assert found["camber_outside"] == 0
    assert abs(found["predicted"]["left"][0] - -1608) < 20
    case["wheels"]["left"]["camber"] = -6000
    assert choose(case)["advice"] == ["one-wheel-off"]


def test_half_of_a_total_toe_that_is_open_on_one_side():
    case = one_wheel({"toe": None})
    case["windows"]["right"]["toe"] = None
    aims = choose({**case, "axle": {**case["axle"], "total_toe": [None, 300]}})["aims"]
    moved = 102  # 2 sqrt(30^2 + 30^2 + 20^2 + 20^2) = 101.98
    assert (
        aims["left"]["toe"]
        == aims["right"]["toe"]
        == {"mdeg": (300 - moved) / 2, "from": "total-toe", "moved_in": moved}
    )


def test_a_window_without_any_edge_is_refused():
    with pytest.raises(InputError, match=r"windows\.left\.toe: expected \[low, high\] with one edge at least"):
        choose(one_wheel({"toe": [None, None]}))
