"""Whether the axle sits askew or the wheels do: against axles built from four points, and wheels that were swapped."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.choose.axle import axle
from calc.numbers.errors import InputError

TRACK, WHEELBASE = 1500, 2600


def built(psi_deg: float, aside_mm: float = 0, track=TRACK, wheelbase=WHEELBASE) -> dict:
    """Return the lengths of a vehicle whose rear axle is turned to the right by psi and moved to the left."""
    psi, half = math.radians(psi_deg), track / 2
    front = {"left": complex(wheelbase, half), "right": complex(wheelbase, -half)}
    turn = complex(math.cos(psi), -math.sin(psi))
    rear = {"left": 1j * half * turn + 1j * aside_mm, "right": -1j * half * turn + 1j * aside_mm}
    # heading right, its left end is ahead; the least angles that a float has move nothing
    assert (rear["left"].real > 0) == (psi_deg > 0) or abs(psi_deg) < 1e-9
    other = {"left": "right", "right": "left"}
    return {
        "track_mm": track,
        "wheelbase": {side: abs(front[side] - rear[side]) for side in front},
        "diagonals": {side: abs(front[side] - rear[other[side]]) for side in front},
    }


def position(lengths: dict, thrust: int = 0, **more) -> dict:
    wheels = {"left": {"camber": None, "toe": 100 + thrust}, "right": {"camber": None, "toe": 100 - thrust}}
    return axle({**wheels, "lengths": lengths, **more})["position"]


@given(st.floats(-3, 3), st.integers(1200, 1800), st.integers(2000, 4500))
def test_both_kinds_of_lengths_give_the_angle_of_an_axle_that_sits_in_the_middle(psi_deg, track, wheelbase):
    """To a tenth of a millimetre each: 0.1 of 1200 mm is 5 mdeg; a diagonal is up to some 2 per cent less sure."""
    lengths = built(psi_deg, 0, track, wheelbase)
    for kind in ("wheelbase", "diagonals"):
        found = position({**lengths, "wheelbase": None, "diagonals": None, kind: lengths[kind]})
        assert found["from"] == kind
        assert found["axle"] == pytest.approx(1000 * psi_deg, abs=8 + abs(2 * psi_deg))
        assert found["is_aside"] is None


@given(st.floats(-2, 2), st.integers(-60, 60))
def test_with_both_an_axle_that_is_aside_is_told_from_one_that_is_askew(psi_deg, aside_mm):
    found = position(built(psi_deg, aside_mm))
    assert found["axle"] == pytest.approx(1000 * psi_deg, abs=40)
    assert found["side_shift_mm"] == pytest.approx(aside_mm, abs=1)
    assert found["is_aside"] == (abs(found["side_shift_mm"]) > 2 * found["side_shift_sd_mm"])


def test_diagonals_alone_take_an_axle_that_is_aside_for_one_that_is_askew():
    found = position({**built(0, 20), "wheelbase": None})
    assert (found["from"], abs(found["axle"]) > 2 * found["axle_sd"]) == ("diagonals", True)


# 2 mm of tape twice over 1500 mm of track: sqrt(2) x 2 / 1500 rad = 0.108 degrees.
def test_a_tape_knows_the_angle_to_a_tenth_of_a_degree():
    assert position(built(0))["axle_sd"] == 108
    assert position({**built(0), "sd_mm": 0.5})["axle_sd"] == 27


@pytest.mark.parametrize(
    ("psi_deg", "thrust", "verdict"),
    [
        (0.5, 500, "axle-askew"), (-0.5, -450, "axle-askew"), (0, 500, "wheels-askew"), (0.05, -400, "wheels-askew"),
        (0.6, 0, "both"), (0.6, 1200, "both"), (-0.4, 400, "both"), (0, 0, "not-told"), (0.1, 150, "not-told"),
    ],
)  # fmt: skip
def test_the_thrust_read_is_compared_with_its_error(psi_deg, thrust, verdict):
    found = position(built(psi_deg), thrust)
    assert found["verdict"] == verdict
    assert found["rest"] == thrust - found["axle"]
    assert found["rest_sd"] == round(math.hypot(found["axle_sd"], found["thrust_sd"]))


def test_the_bar_is_two_standard_deviations_and_itself_not_above_it():
    """Lengths known exactly count as known to 1 mdeg; the thrust's own 26 mdeg remain: two SDs of both are 52.04."""
    exact = {**built(0), "sd_mm": 0}
    assert position(exact)["axle_sd"] == 1
    assert [position(exact, thrust)["verdict"] for thrust in (52, 53)] == ["not-told", "wheels-askew"]


def swap(before: dict, after: dict, **more) -> dict:
    return axle({**before, "swapped": after, **more})["swap"]


def wheels(left: tuple, right: tuple) -> dict:
    return {
        side: dict(zip(("camber", "toe"), angles, strict=True)) for side, angles in (("left", left), ("right", right))
    }


@given(*[st.integers(-900, 900)] * 4)
def test_what_differs_is_parted_into_what_went_with_the_wheels_and_what_stayed(hub_left, hub_right, wheel_1, wheel_2):
    """Each reading is what the hub does and what the wheel on it does; the wheels change sides, the hubs do not."""
    before = wheels((hub_left + wheel_1, 0), (hub_right + wheel_2, 0))
    after = wheels((hub_left + wheel_2, 0), (hub_right + wheel_1, 0))
    found = swap(before, after)["camber"]
    assert (found["went"], found["stayed"]) == (wheel_1 - wheel_2, hub_left - hub_right)
    clear = [abs(apart) > 2 * found["sd"] for apart in (wheel_1 - wheel_2, hub_left - hub_right)]
    names = {(True, False): "wheels", (False, True): "hub", (True, True): "both", (False, False): "not-told"}
    assert found["verdict"] == names[tuple(clear)]


def test_a_camber_that_was_not_read_is_not_judged():
    found = swap(wheels((None, 500), (-1000, -300)), wheels((-900, 480), (-1000, -310)))
    assert found["camber"] is None
    assert found["toe"] == {"went": 5, "stayed": 795, "sd": 37, "verdict": "hub"}


@pytest.mark.parametrize(
    ("lengths", "field"),
    [
        ({"track_mm": 1500, "wheelbase": None, "diagonals": None}, "lengths.wheelbase"),
        ({"wheelbase": None, "diagonals": None}, "lengths.track_mm"),
        ({**built(0), "track_mm": 15}, "lengths.track_mm"),
        ({**built(0), "wheelbase": {"left": 2600, "right": 3000}}, "lengths.wheelbase"),
        ({**built(0), "wheelbase": {"left": 2600}}, "lengths.wheelbase.right"),
        ({**built(0), "diagonals": {"left": 1400, "right": 1450}}, "lengths.diagonals"),
        ({**built(0), "sd_mm": -1}, "lengths.sd_mm"),
        ({**built(0), "colour": 1}, "lengths.colour"),
    ],
)
def test_lengths_that_cannot_be_meant_are_refused(lengths, field):
    with pytest.raises(InputError, match=f"^{field}: expected"):
        position(lengths)


def test_swapped_readings_that_cannot_be_meant_are_refused():
    with pytest.raises(InputError, match=r"^swapped\.right: expected"):
        swap(wheels((0, 0), (0, 0)), {"left": {"camber": 0, "toe": 0}})
    with pytest.raises(InputError, match=r"^swapped\.left\.toe: expected"):
        swap(wheels((0, 0), (0, 0)), wheels((0, 0.5), (0, 0)))
