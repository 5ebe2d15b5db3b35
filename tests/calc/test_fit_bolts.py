"""Bolts, cutting, tightening and spacers against values made by hand and against turning real shapes."""

import itertools
import math
from random import Random

import pytest
from fit_case import BOLTS, RECTANGLE, fitted

from calc.fit.spacers import choose_spacers
from calc.fit.tightening import cross_order, tightening_order, tightening_stages
from calc.numbers.errors import InputError
from calc.rings.bolt_pattern import pattern_turns, point_of
from calc.rings.cutting import clearance_marks, cut_ring_serves, mark_at_clock
from calc.rings.rings import Ring, mark_clock
from fixtures.golden.choose_cases import ring


def test_bolt_stack_engagement_and_length():
    """Top bolts at 55 mm and 40 degrees: 4.8 + 2 x 55 tan(0.55) cos 40 = 5.61 mm; bottom ones 3.99 mm."""
    found = fitted(bolts_engaged_mm=14, bolts_blind_depth_mm=20)
    assert [row["stack_mm"] for row in found["bolts"]] == [5.61, 3.99, 3.99, 5.61]
    top = found["bolts"][0]["engagement"]
    assert top == {"left_mm": 8.39, "longer_by_mm": 1.61, "bottoms_at_mm": 11.61}
    assert found["longer"] == {"at_least_mm": 1.61, "less_than_mm": 9.99, "possible": True}


def test_counted_turns_are_engagement_and_a_nut_wants_its_height_and_a_pitch():
    counted = {**BOLTS, "turns": 12}
    del counted["engaged_mm"]
    assert fitted(bolts=counted)["bolts"][1]["engagement"]["left_mm"] == 14.01
    found = fitted(bolts_nut_height_mm=8.4, bolts_metal=None)
    assert found["bolts"][1]["engagement"]["longer_by_mm"] == 0.0
    assert fitted(bolts_engaged_mm=13, bolts_nut_height_mm=8.4)["bolts"][1]["engagement"]["longer_by_mm"] == 0.89


@pytest.mark.parametrize(
    ("change", "missing"),
    [({"bolts_thread": None}, "bolts.thread"), ({"bolts_metal": None}, "bolts.metal")],
)
def test_engagement_is_null_where_it_cannot_be_known(change, missing):
    found = fitted(**change)
    assert found["bolts"][0]["engagement"] is None
    assert found["longer"] is None
    assert missing in found["gate"]["missing"]


def test_clearance_lies_between_the_marks_that_stand_at_its_edges():
    solid = Ring.from_json(ring(40, 550, 1.0, "counterclockwise", "outboard", 0))
    found = clearance_marks(solid, 38, (50.0, 20.0), 12.0)
    half_deg = math.degrees(math.asin(6 / 50))
    for mark, clock in (("from", 20 - half_deg), ("to", 20 + half_deg), ("centre", 20.0)):
        assert math.degrees(float(mark_clock(solid, 38, found[mark]))) == pytest.approx(clock % 360, abs=0.06)
    assert found["between"] == [39, 1]  # 39.46 to 0.99, counted round past 39 to 0


@pytest.mark.parametrize("clock", [0.0, 33.0, 359.9])
def test_mark_at_clock_undoes_mark_clock(clock):
    solid = Ring.from_json(ring(54, 550, face="outboard"))
    mark = mark_at_clock(solid, 7, clock)
    assert math.degrees(float(mark_clock(solid, 7, mark))) == pytest.approx(clock, abs=1e-9)


def slots_after(bolts, old_thick, new_thick, turned_over):
    """Return where slots come to stand if a ring is really turned (and turned over about its thick point)."""
    places = []
    for radius, clock in bolts:
        from_thick = clock - old_thick
        places.append(point_of(radius, new_thick + (-from_thick if turned_over else from_thick)))
    return places


def test_cut_rings_serve_exactly_where_turning_them_brings_slots_under_all_bolts():
    random = Random(5)
    seen = set()
    for _ in range(400):
        bolts = random.choice([RECTANGLE, [[50, 72 * k] for k in range(5)], [[48, 0], [56, 118], [56, 242]]])
        old = random.choice([0.0, 15.0, 40.0])
        new = old + random.choice([0, 72, 90, 144, 180, 33, 0.5]) if random.random() < 0.5 else random.uniform(0, 360)
        found = cut_ring_serves(bolts, old, new, 1.0)
        fits = {}
        for over in (False, True):
            places = slots_after(bolts, old, new, over)
            fits[over] = all(any(math.dist(point_of(*b), p) <= 1.0 for p in places) for b in bolts)
        assert found["serves"] == (fits[False] or fits[True])
        assert found["turned_over"] == (not fits[False] and fits[True])
        seen.add((found["serves"], found["turned_over"]))
    assert len(seen) == 3


def test_cut_rings_say_which_mark_is_then_at_the_top():
    """A rectangle serves half a turn on; turned over, where the thick point is mirrored at the vertical."""
    half = fitted(pair=[28, 28], cut_pair=[1, 1])["cut_rings"]["inner"]
    assert half == {"serves": True, "turned_over": False, "mark_at_top": 28.0}
    over = fitted(pair=[10, 10], cut_pair=[46, 10])["cut_rings"]
    assert over["inner"] == {"serves": True, "turned_over": True, "mark_at_top": 46.0}
    assert over["outer"] == {"serves": True, "turned_over": False, "mark_at_top": 10.0}
    assert fitted(pair=[3, 3], cut_pair=[1, 1])["cut_rings"]["inner"]["mark_at_top"] is None


def test_pattern_turns():
    assert pattern_turns([(55, 40), (55, 140), (55, 220), (55, 320)]) == [180.0]
    assert pattern_turns([(50, 72 * k) for k in range(5)]) == [72.0, 144.0, 216.0, 288.0]
    assert pattern_turns([(48, 0), (56, 118), (56, 242)]) == []
    assert pattern_turns([]) == []


@pytest.mark.parametrize("count", range(1, 25))
def test_cross_order_takes_every_bolt_once_and_jumps_across(count):
    order = cross_order(count)
    assert sorted(order) == list(range(count))
    if count >= 4:
        first_jump = abs(order[1] - order[0])
        assert first_jump in (count // 2, (count - 1) // 2)


def test_odd_step_is_coprime_so_that_the_order_closes():
    for count in range(3, 60, 2):
        assert math.gcd((count - 1) // 2, count) == 1
        assert sorted(cross_order(count)) == list(range(count))


def test_rectangle_goes_by_its_diagonals_however_it_is_listed():
    opposite = {1: 3, 3: 1, 2: 4, 4: 2}
    for turn in range(4):
        listed = [RECTANGLE[(k + turn) % 4] for k in range(4)]
        order = tightening_order([tuple(bolt) for bolt in listed])
        assert opposite[order[0]] == order[1]
        assert opposite[order[2]] == order[3]


def test_stages_end_with_what_was_typed_and_a_typed_angle_comes_last():
    assert [stage["torque"] for stage in tightening_stages(65.5, "N·m", None)] == [20, 46, 65.5]
    assert tightening_stages(50, "lbf·ft", 60)[-1] == {"torque": None, "unit": None, "angle_deg": 60}


@pytest.mark.parametrize(
    ("torque", "judged", "why"),
    [
        ({"value": 65, "unit": "N·m"}, "usual", None),
        ({"value": 48, "unit": "lbf·ft"}, "usual", None),
        ({"value": 650, "unit": "N·m"}, "high", None),
        ({"value": 6.5, "unit": "N·m"}, "low", None),
        ({"value": 30, "unit": "N·m", "angle_deg": 90}, None, "followed-by-an-angle"),
    ],
)
def test_torque_is_judged_and_none_is_ever_offered(torque, judged, why):
    found = fitted(torque={**torque, "source": "service information"})["tightening"]["torque"]
    assert (found["judged"], found["why"]) == (judged, why)
    assert set(found) == {"nm", "judged", "why", "unit"}
    assert fitted()["tightening"]["torque"] is fitted()["tightening"]["stages"] is None


def test_torque_without_a_class_is_not_judged():
    found = fitted(bolts_class=None, torque={"value": 65, "unit": "N·m", "source": "x"})["tightening"]["torque"]
    assert (found["judged"], found["why"]) == (None, "thread-or-class-not-given")


def test_torque_without_a_source_is_refused():
    with pytest.raises(InputError, match=r"torque\.source"):
        fitted(torque={"value": 65, "unit": "N·m"})


def least_miss(wanted, stock):
    """Return the least (sum of misses, pieces) by trying everything."""
    options = [(), *((k,) for k in range(len(stock)))]
    options += [(a, b) for a in range(len(stock)) for b in range(a, len(stock))]
    best = None
    for plan in itertools.product(options, repeat=len(wanted)):
        used = [item for items in plan for item in items]
        if all(used.count(k) <= quantity for k, (_, quantity) in enumerate(stock)):
            misses = (abs(sum(stock[k][0] for k in items) - w) for items, w in zip(plan, wanted, strict=True))
            key = (sum(misses), len(used))
            best = key if best is None or key < best else best
    return best


def test_spacers_are_the_best_that_the_stock_allows():
    random = Random(11)
    for _ in range(150):
        stock = [
            (random.choice([500, 1000, 1500, 2000, 3000]), random.randint(0, 2)) for _ in range(random.randint(0, 4))
        ]
        wanted = [random.randint(-500, 6000) for _ in range(random.randint(1, 3))]
        plan = choose_spacers(wanted, stock)
        used = [item for items in plan for item in items]
        assert all(used.count(k) <= quantity for k, (_, quantity) in enumerate(stock))
        misses = sum(abs(sum(stock[k][0] for k in items) - w) for items, w in zip(plan, wanted, strict=True))
        assert (misses, len(used)) == least_miss(wanted, stock)


def test_spacers_by_lug_and_what_they_leave_of_the_bracket_bolts():
    stock = [{"thickness_mm": 3.0, "quantity": 1}, {"thickness_mm": 2.5, "quantity": 3}]
    bracket = {"lugs": [[90, 0], [90, 180]], "stock": stock, "engaged_mm": 18}
    rows = fitted(vehicle_brake="disc", vehicle_bracket="outboard-of-ear", bracket=bracket)["spacers"]
    assert [row["wanted_mm"] for row in rows] == [6.528, 3.072]  # 4.8 +- 180 tan 0.55 degrees
    assert [row["off_mm"] for row in rows] == [-1.028, -0.572]  # one 3.0 is there: the worse lug takes it
    assert [row["near_enough"] for row in rows] == [False, False]
    assert [row["left_mm"] for row in rows] == [12.5, 15.5]
    moves = fitted(vehicle_brake="disc", vehicle_bracket="moves-with-hub", bracket=bracket)
    assert moves["spacers"] is None
