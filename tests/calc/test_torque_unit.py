"""A torque in the wrong unit: what can be told from the figure, and the person who names the unit of the source."""

from fractions import Fraction

import pytest

from calc.fit.threads import COARSE_PITCH_MM, PROOF_STRESS_MPA, Thread, proof_load_n
from calc.fit.torque import NM_PER_LBF_FT, judge_torque, unit_question, unit_that_fits
from calc.numbers.errors import InputError
from tests.calc.fit_case import fitted

BOLTS = [(Thread(d, pitch), each) for d, pitch in COARSE_PITCH_MM.items() for each in PROOF_STRESS_MPA]
# Torque over proof load times diameter: every usual one, from K 0.12 at half the proof load to K 0.20 at 0.9 of it.
SHARES = [float(Fraction(k, 1000)) for k in range(61, 180)]


def usual_torques_nm():
    for thread, property_class in BOLTS:
        for share in SHARES:
            yield share * proof_load_n(thread, property_class) * thread.diameter_mm / 1000, thread, property_class


def told(typed_unit: str) -> float:
    """Return the share of usual torques meant in the other unit that are questioned when typed in this one."""
    per_unit = {"N·m": 1 / NM_PER_LBF_FT, "lbf·ft": 1.0}[typed_unit]  # the figure as the source prints it
    found = [unit_that_fits(nm * per_unit, typed_unit, thread, cls) for nm, thread, cls in usual_torques_nm()]
    return found.count("other") / len(found)


def test_how_many_wrong_units_can_be_told_at_all():
    """The docstring of unit_that_fits says these figures."""
    assert round(100 * told("N·m")) == 18
    assert round(100 * told("lbf·ft")) == 39


@pytest.mark.parametrize("nut_factor", [0.15, 0.16, 0.17])
def test_of_torques_in_the_middle_no_wrong_unit_can_be_told(nut_factor):
    for thread, cls in BOLTS:
        nm = nut_factor * 0.75 * proof_load_n(thread, cls) * thread.diameter_mm / 1000
        assert unit_that_fits(nm, "lbf·ft", thread, cls) == "either"
        assert unit_that_fits(nm / NM_PER_LBF_FT, "N·m", thread, cls) == "either"


@pytest.mark.parametrize("unit", ["N·m", "lbf·ft"])
def test_a_usual_torque_typed_as_it_was_meant_is_never_questioned_as_a_slip(unit):
    per_unit = 1 / NM_PER_LBF_FT if unit == "lbf·ft" else 1.0
    fits = {unit_that_fits(nm * per_unit, unit, thread, cls) for nm, thread, cls in usual_torques_nm()}
    assert fits <= {"typed", "either"}


def test_the_word_for_a_figure_is_that_of_its_two_judgements():
    thread = Thread(10.0, 1.5)
    for value in range(5, 200):
        words = [judge_torque(value * each, thread, "10.9") == "usual" for each in (1.0, NM_PER_LBF_FT)]
        fits = unit_that_fits(value, "N·m", thread, "10.9")
        assert (fits in ("typed", "either"), fits in ("other", "either")) == tuple(words)


@pytest.mark.parametrize(
    ("torque", "question"),
    [
        ({"value": 50, "unit": "N·m"}, {"fits": "either", "named": None, "to_be_named": True}),
        (
            {"value": 50, "unit": "N·m", "unit_named": "newton-metres"},
            {"fits": "either", "named": "confirmed", "to_be_named": False},
        ),
        (
            {"value": 50, "unit": "N·m", "unit_named": "pound-force-feet"},
            {"fits": "either", "named": "differs", "to_be_named": True},
        ),
        ({"value": 85, "unit": "N·m"}, {"fits": "typed", "named": None, "to_be_named": True}),
        (
            {"value": 85, "unit": "N·m", "unit_named": "pound-force-feet"},
            {"fits": "typed", "named": "differs", "to_be_named": True},
        ),
        ({"value": 25, "unit": "N·m"}, {"fits": "other", "named": None, "to_be_named": True}),
        ({"value": 75, "unit": "lbf·ft"}, {"fits": "other", "named": None, "to_be_named": True}),
        ({"value": 200, "unit": "N·m"}, {"fits": "neither", "named": None, "to_be_named": True}),
        ({"value": 30, "unit": "N·m", "angle_deg": 90}, {"fits": None, "named": None, "to_be_named": True}),
        (
            {"value": 30, "unit": "lbf·ft", "angle_deg": 90, "unit_named": "pound-force-feet"},
            {"fits": None, "named": "confirmed", "to_be_named": False},
        ),
    ],
)
def test_who_must_name_the_unit(torque, question):
    assert fitted(torque={**torque, "source": "service information"})["tightening"]["torque"]["unit"] == question


def test_without_a_thread_the_unit_is_asked_for():
    torque = {"value": 65, "unit": "N·m", "source": "x", "angle_deg": None, "unit_named": None}
    assert unit_question(torque, None, None) == {"fits": None, "named": None, "to_be_named": True}


def test_a_unit_by_another_name_is_refused():
    with pytest.raises(InputError, match=r"^torque\.unit_named: expected"):
        fitted(torque={"value": 65, "unit": "N·m", "source": "x", "unit_named": "kilos"})
