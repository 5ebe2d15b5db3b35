"""Honest charts are not called wrong, slips are named, mirrored sets never trusted: a small bench_measure.

The charts are made by a model of their own (charts.py), typed with slips (typing_slips.py). Seeds are fixed.
"""

from fractions import Fraction
from random import Random

import pytest

from calc.measure.measure import measure
from calc.measure.paper_units import paper_units_from_json
from calc.measure.printed_steps import off_step, step_of
from calc.numbers.errors import InputError
from tests.bench.bench_measure import honest, with_slips, with_wrong_sign
from tests.calc.charts import PRINTS, STYLES, chart, step_mdeg

EACH = 15


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("prints", PRINTS)
def test_a_faultless_chart_is_not_called_wrong(prints, style):
    assert honest(prints, style, EACH, 30).get("called wrong", 0) == 0


@pytest.mark.parametrize("prints", [name for name in PRINTS if "0.25" not in name and "1/8" not in name])
def test_most_faultless_charts_of_few_rows_are_trusted_and_right(prints):
    found = honest(prints, "rounded", EACH, 31)
    assert found["trusted"] >= EACH - 2
    assert found["worst_mdeg"] <= 60  # half of it is what two printed values may be off


def test_a_chart_in_quarter_degrees_asks_for_more_rows_and_is_trusted_with_them():
    few, many = (measure(chart(Random(3), "0.25 deg", count=count).asked()) for count in (8, 40))
    assert {reason["code"] for reason in few["reasons"]} == {"taper-uncertain"}
    assert many["trustworthy"]


@pytest.mark.parametrize("slips", [1, 2])
@pytest.mark.parametrize("prints", PRINTS)
def test_a_chart_with_slips_is_never_trusted_and_most_slips_are_named(prints, slips):
    found = with_slips(prints, slips, EACH, 40 + slips)
    assert "trusted" not in found
    assert found["named"] >= EACH - 2


@pytest.mark.parametrize("prints", ["0.01 deg", "0.1 deg", "5 min"])
def test_three_slips_leave_no_trust_either(prints):
    assert "trusted" not in with_slips(prints, 3, EACH, 50)


@pytest.mark.parametrize("prints", PRINTS)
def test_a_sign_told_wrong_contradicts_what_was_seen_on_the_rings(prints):
    assert "trusted" not in with_wrong_sign(prints, EACH, 60)


def test_without_the_way_of_the_numbers_a_mirrored_set_cannot_be_known():
    """Why the desk's form asks for it: the rows of a mirrored set are the mirrored rows."""
    made = chart(Random(5), "0.05 deg", count=10)
    assert measure(made.asked(seen=False, toe_wrong=True))["trustworthy"]
    told = measure(made.asked(toe_wrong=True))
    assert {(reason["ring"], reason["code"]) for reason in told["reasons"]} == {
        ("inner", "direction-contradicted"),
        ("outer", "direction-contradicted"),
    }


def test_a_marked_face_seen_wrong_contradicts_too():
    asked = chart(Random(6), "0.05 deg", count=10).asked()
    face = asked["inner"]["marked_face_right"]
    asked["inner"]["marked_face_right"] = "outboard" if face == "inboard" else "inboard"
    assert {"ring": "inner", "code": "direction-contradicted"} in measure(asked)["reasons"]


def test_a_value_off_the_step_is_named_even_where_it_is_near():
    asked = chart(Random(7), "0.05 deg", count=10).asked()
    asked["rows"][3]["camber"] = asked["rows"][3]["camber"][:-1] + "2"
    found = measure(asked)
    assert [reason["code"] for reason in found["reasons"]] == ["value-off-step"]
    assert [k for k, row in enumerate(found["rows"]) if not row["fits"]] == [3]


def test_a_step_that_is_told_goes_before_the_values():
    made = chart(Random(8), "0.01 deg", count=10)
    asked = made.asked()
    assert measure(asked)["steps"] == {"camber": 10.0, "toe": 10.0}
    asked["units"] |= {"camber_step": "0.05", "toe_step": "0.05"}
    found = measure(asked)
    assert found["steps"] == {"camber": 50.0, "toe": 50.0}
    assert "value-off-step" in {reason["code"] for reason in found["reasons"]}


def test_a_paper_may_print_toe_in_other_steps_than_camber():
    asked = chart(Random(8), "0.01 deg", count=10).asked()
    asked["units"] |= {"camber_step": "0.01", "toe_step": "0.05"}
    assert measure(asked)["steps"] == {"camber": 10.0, "toe": 50.0}
    units = paper_units_from_json({**asked["units"], "camber_step": None})
    steps = units.steps(asked["rows"])
    assert (units.step_mdeg("camber", steps["camber"]), units.step_mdeg("toe", steps["toe"])) == (10.0, 50.0)
    camber_sd, toe_sd = units.sds_mdeg({"camber": Fraction(1, 20), "toe": Fraction(1, 4)})
    assert (camber_sd, toe_sd) == (pytest.approx(50 / 12**0.5), pytest.approx(250 / 12**0.5))


@pytest.mark.parametrize("text", ["0", "-0.05", "abc", ""])
def test_a_step_that_is_none_is_refused(text):
    asked = chart(Random(9), "0.05 deg").asked()
    with pytest.raises(InputError, match=r"^units\.toe_step: expected"):
        measure({**asked, "units": {**asked["units"], "toe_step": text}})


@pytest.mark.parametrize(
    ("values", "step"),
    [
        (["0.05", "0.10", "−0.35", "1.15", "0.00"], "0.05"),
        (["0.25", "−1.5", "0.75", "1"], "0.25"),
        (["0.1", "0.2", "−0.4", "1.1"], "0.1"),
        (["0.2", "0.4", "−0.6", "0.8"], "0.1"),  # four even ones are chance
        (["0.05", "0.10", "0.37", "1.15", "0.60", "−0.85", "1.30", "−0.15"], "0.05"),  # a slip among multiples
        (["0.50", "1.00", "−2.00", "1.50", "0"], "0.5"),
        (["0", "0.00"], "0.01"),
    ],
)
def test_the_step_comes_from_the_values(values, step):
    exact = [Fraction(value.replace("−", "-")) for value in values]
    assert step_of(values, exact) == Fraction(step)


def test_steps_of_minutes_and_of_inches():
    minutes = [Fraction(count, 60) for count in (5, -15, 65, 20, 35)]
    assert step_of(["0°05'", "−0°15'", "1°05'", "0°20'", "35'"], minutes, in_minutes=True) == Fraction(5, 60)
    inches = [Fraction(1, 16), Fraction(3, 32), Fraction(1, 2), Fraction(-5, 32)]
    assert step_of(["1/16", "3/32", "1/2", "−5/32"], inches) == Fraction(1, 32)
    mixed = [Fraction(3, 32), Fraction(1, 2), Fraction(-5, 32)]  # a decimal among fractions
    assert off_step(mixed, step_of(["3/32", ".5", "−5/32"], mixed)) == [False] * 3


def test_steps_are_counted_by_the_chart_itself():
    assert [round(step_mdeg(name)) for name in PRINTS] == [10, 50, 100, 250, 83, 72, 125]
