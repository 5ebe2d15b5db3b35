"""The golden cases of prove, fit and axle are varied enough to bind a twin."""

import collections

from calc.fit.gate_words import WORDS
from fixtures.golden import make_axle, make_fit, make_prove
from fixtures.golden.prove_cases import KINDS
from tests.calc.goldens import cases_of


def test_prove_names_every_cause_first_in_some_case():
    first = {case["output"]["causes"][0]["code"] for case in cases_of(make_prove)}
    assert first == set(KINDS)


def test_prove_has_cases_with_and_without_size_miss_and_second_pass():
    outputs = [case["output"] for case in cases_of(make_prove)]
    for key in ("turn_deg", "between_faces", "second_pass", "cut_rings"):
        assert {output[key] is None for output in outputs} == {True, False}, key
    assert {output["explained"] for output in outputs} == {True, False}


def test_fit_finds_every_refusal_and_warning_in_some_case():
    gates = [case["output"]["gate"] for case in cases_of(make_fit)]
    found = {row["code"] for gate in gates for row in gate["refusals"] + gate["warnings"]}
    assert found == set(WORDS)
    assert {gate["may_go_in"] for gate in gates} == {True, False, None}


def test_fit_says_yes_only_where_nothing_is_missing():
    # The verdict was once given before the bolts were missed that cut rings are asked about.
    for gate in (case["output"]["gate"] for case in cases_of(make_fit)):
        assert gate["may_go_in"] is not True or not (gate["missing"] or gate["refusals"]), gate


def test_fit_judges_cuts_and_lengths_both_ways():
    outputs = [case["output"] for case in cases_of(make_fit)]
    judged = {output["tightening"]["torque"]["judged"] for output in outputs if output["tightening"]["torque"]}
    assert judged == {"low", "usual", "high", None}
    cuts = {tuple(ring.items())[:2] for out in outputs if out["cut_rings"] for ring in out["cut_rings"].values()}
    assert len(cuts) == 3
    assert {output["longer"]["possible"] for output in outputs if output["longer"]} == {True, False}
    assert {row["near_enough"] for output in outputs for row in output["spacers"] or []} == {True, False}


def test_axle_finds_every_pattern_and_every_way():
    outputs = [case["output"] for case in cases_of(make_axle)]
    patterns = collections.Counter(code for output in outputs for code in output["patterns"] or [])
    assert set(patterns) == {"skewed-axle", "one-wheel-off", "height-or-load", "beyond-usual"}
    assert {output["thrust_way"] for output in outputs} >= {"to-the-right", "to-the-left"}
    assert any(output["thrust"] % 1 for output in outputs)
