"""The golden files are what their generators make, and varied enough to bind a twin."""

import collections
import json
from pathlib import Path

import pytest

from fixtures.golden import make_angle_units, make_choose, make_rings
from fixtures.golden.write_or_check import write_or_check

GENERATORS = [make_angle_units, make_choose, make_rings]
CHOOSE = json.loads(make_choose.PATH.read_text(encoding="utf-8"))


@pytest.mark.parametrize("generator", GENERATORS, ids=lambda module: module.PATH.name)
def test_golden_file_is_what_its_generator_makes(generator):
    assert write_or_check(generator.PATH, generator.golden_text(), ["--check"]) == 0


@pytest.mark.parametrize("generator", GENERATORS, ids=lambda module: module.PATH.name)
def test_header_says_source_unit_and_tool(generator):
    header = json.loads(generator.PATH.read_text(encoding="utf-8"))
    assert {"format", "source", "unit", "tool"} <= set(header)


def test_check_notices_a_change(tmp_path: Path, capsys):
    path = tmp_path / "golden.json"
    assert write_or_check(path, "{}\n", ["--check"]) == 1
    assert write_or_check(path, "{}\n", []) == 0
    assert write_or_check(path, "{}\n", ["--check"]) == 0
    assert write_or_check(path, "[]\n", ["--check"]) == 1
    assert "golden.json" in capsys.readouterr().err


def test_choices_are_many_and_hit_every_part_of_the_rule():
    cases = CHOOSE["cases"]
    assert len(cases) >= 500
    advice = collections.Counter(code for case in cases for code in case["output"]["advice"])
    assert min(advice.values()) >= 10
    assert len(advice) == 7
    first = collections.Counter(case["output"]["plans"][0]["pairs"] for case in cases)
    assert min(first[0], first[1], first[2]) >= 30
    spread_keys = {key for case in cases for key in case["input"].get("spread", {})}
    assert len(spread_keys) == 6
    assert {len(case["input"]["ring_sets"]) for case in cases} >= {0, 1, 2, 3}
    assert any(plan["axle"]["thrust"] % 1 for case in cases for plan in case["output"]["plans"])
    assert any(plan["toe_steps"] > 0 < plan["camber_steps"] for case in cases for plan in case["output"]["plans"])
