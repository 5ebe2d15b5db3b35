"""The gate and what is seen at the wheel, against values made by hand."""

import math

import pytest
from fit_case import FITS, fitted

from calc.fit.fit import fit
from calc.fit.gate_words import WORDS
from calc.numbers.errors import InputError
from fixtures.golden.choose_cases import ring, ring_set


def codes(found: dict, kind: str = "refusals") -> list[str]:
    return [row["code"] for row in found["gate"][kind]]


def test_rings_that_may_go_in_go_in():
    found = fitted()
    assert found["gate"] == {"may_go_in": True, "refusals": [], "warnings": [], "missing": []}
    assert found["words"] == {}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"vehicle_mounting": "one-piece"}, "stub-one-piece"),
        ({"vehicle_mounting": "driven", "vehicle_driven": "not-both"}, "driven-not-allowed"),
        ({"vehicle_ring_place": "hub-to-wheel"}, "hub-to-wheel"),
        ({"vehicle_pairs_fitted": 1}, "pair-already-fitted"),
        ({"vehicle_pilot_length_mm": 4.8}, "pilot-lifts-out"),
        ({"vehicle_flange_bore_mm": 60.1}, "pilot-binds"),
        ({"vehicle_pilot_diameter_mm": 65.95, "vehicle_flange_bore_mm": 67}, "ring-bore-too-small"),
        (
            {"vehicle_sensor": "on-axle", "vehicle_sensor_gap_mm": 1, "vehicle_sensor_gap_most_mm": 5},
            "sensor-gap-too-wide",
        ),
        ({"vehicle_brake": "disc", "vehicle_bracket": "inboard-of-ear"}, "bracket-inboard"),
        ({"vehicle_arch_gap_mm": 10.7}, "arch-too-close"),
        ({"bolts_at": [[66, 0], [66, 180]]}, "bolt-outside-ring"),
        ({"bolts_engaged_mm": 10, "bolts_blind_depth_mm": 10}, "bolts-bottom"),
    ],
)
def test_each_refusal_alone_stops_the_job_and_has_words(changes, code):
    found = fitted(**changes)
    assert codes(found)[0] == code
    assert set(codes(found)) == {code}
    assert found["gate"]["may_go_in"] is False
    assert found["words"][code] == WORDS[code]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"vehicle_ring_place": "outboard-of-plate"}, "plate-stays-behind"),
        ({"vehicle_pilot_length_mm": 6.7}, "pilot-shallow"),
        ({"vehicle_sensor": "on-axle", "vehicle_sensor_gap_mm": 1, "vehicle_sensor_gap_most_mm": 6}, "sensor-gap"),
        ({"vehicle_sensor": "on-axle", "vehicle_sensor_gap_mm": 1}, "sensor-gap-unknown"),
        (
            {"vehicle_brake": "disc", "vehicle_bracket": "outboard-of-ear", "bracket": {"lugs": [[90, 90]]}},
            "bracket-spacers",
        ),
        ({"vehicle_flange_diameter_mm": 140}, "ring-beyond-flange"),
        ({"vehicle_flange_diameter_mm": 155}, "ring-inside-flange"),
    ],
)
def test_each_warning_alone_does_not_stop_the_job(changes, code):
    found = fitted(**changes)
    assert set(codes(found, "warnings")) == {code}
    assert codes(found) == []
    assert found["gate"]["may_go_in"] is not False


@pytest.mark.parametrize("name", [key for key in FITS if key not in ("flange_bore_mm",)])
def test_what_is_not_given_is_named_and_nothing_is_allowed(name):
    found = fitted(**{f"vehicle_{name}": None})
    assert f"vehicle.{name}" in found["gate"]["missing"]
    assert found["gate"]["may_go_in"] is None


def test_gate_can_be_asked_before_anything_is_chosen():
    disc = {"mounting": "one-piece", "brake": "disc", "bracket": "inboard-of-ear"}
    found = fit({"wheel": "left", "vehicle": disc})
    assert codes(found) == ["stub-one-piece", "bracket-inboard"]
    drum = fit({"wheel": "left", "vehicle": disc | {"brake": "drum"}})
    assert codes(drum) == ["stub-one-piece"], "a drum has no bracket, whatever was answered before"
    assert found["stack"] is found["drawing"] is found["bolts"] is found["spacers"] is None


def test_arch_takes_the_stack_and_the_tilt():
    """Both thick points at the top: 4.8 mm of rings and 310 mm x tan(1.1 degrees) = 5.95 mm."""
    assert fitted()["arch"] == {"moves_out_mm": 10.8, "left_mm": 29.2}


def test_pilot_needs_room_for_its_tilt():
    """7.2 mm left, tilted by 1.1 degrees: 7.2 tan + 60 (1/cos - 1) = 0.138 + 0.011 mm across the bore."""
    assert fitted()["pilot"] == {
        "depth_left_mm": 7.2,
        "room_needed_mm": 0.149,
        "room_mm": 0.5,
        "bore_needed_mm": 60.09,
    }


def test_a_person_at_the_right_wheel_sees_the_front_on_the_right_hand():
    right, left = fitted()["drawing"], fitted(wheel="left")["drawing"]
    assert (right["front"], left["front"]) == ("right", "left")
    rearmost = next(row for row in right["inner"]["marks"] if row[0] == 1 + 54 // 4)  # near clock 90
    assert 85 < rearmost[1] < 95
    assert rearmost[2] < -0.99
    mirrored = [[mark, clock, -x, y] for mark, clock, x, y in left["inner"]["marks"]]
    assert [row[:2] for row in right["inner"]["marks"]] == [row[:2] for row in mirrored]
    assert all(a[2:] == pytest.approx(b[2:]) for a, b in zip(right["inner"]["marks"], mirrored, strict=True))
    assert (right["inner"]["marked_face"], left["inner"]["marked_face"]) == ("inboard", "outboard")


def test_marks_are_drawn_where_a_look_at_the_ring_finds_them():
    """Clockwise numbers on a face that looks outboard: one step on from the top is to the viewer's right."""
    outboard = ring(36, 500, 1.0, "clockwise", "outboard")
    right = fitted(ring_set=ring_set("out", {**outboard, "bore_diameter_mm": 66.0}))["drawing"]["inner"]["marks"][1]
    assert (right[0], right[1]) == (2, 350.0)
    assert right[2] == pytest.approx(math.sin(math.radians(10)), abs=1e-4)
    inboard = ring(36, 500, 1.0, "clockwise", "inboard")
    left = ring_set("in", {**inboard, "bore_diameter_mm": 66.0})
    left_two = fitted(ring_set=left, wheel="left")["drawing"]["inner"]["marks"][1]
    assert left_two[2] == pytest.approx(math.sin(math.radians(10)), abs=1e-4)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"pair": [0, 1]}, r"pair\[0\]"),
        ({"ring_set": None}, "ring_set"),
        ({"bolts_turns": 10}, r"bolts\.turns"),
        ({"bolts_thread": {"diameter_mm": 11, "pitch_mm": 1}}, r"bolts\.thread\.diameter_mm"),
        ({"bolts_thread": {"diameter_mm": 10, "pitch_mm": 1.75}}, r"bolts\.thread\.pitch_mm"),
        ({"bolts_blind_depth_mm": 10}, r"bolts\.blind_depth_mm"),
        ({"bolts_at": [[5, 0], [55, 180]]}, r"bolts\.at\[0\]\[0\]"),
        ({"bolts_clearance_mm": 9}, r"bolts\.clearance_mm"),
        ({"vehicle_sensor": "somewhere"}, r"vehicle\.sensor"),
        ({"vehicle_hub": "x"}, r"vehicle\.hub"),
        ({"bracket": {"lugs": [[90, 0]] * 5}}, r"bracket\.lugs"),
    ],
)
def test_bad_input_is_named(changes, field):
    with pytest.raises(InputError, match=f"^{field}: expected"):
        fitted(**changes)
