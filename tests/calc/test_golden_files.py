"""Every golden file is what its generator makes, says where it comes from, and its check notices a change."""

import json
from pathlib import Path

import pytest

from fixtures.golden import (
    make_angle_units,
    make_axle,
    make_choose,
    make_choose_edges,
    make_disagreeing,
    make_fit,
    make_picture,
    make_prove,
    make_rings,
)
from fixtures.golden.write_or_check import write_or_check

ROOT = Path(__file__).resolve().parents[2]
GENERATORS = [
    make_angle_units, make_axle, make_choose, make_choose_edges, make_disagreeing, make_fit, make_picture, make_prove,
    make_rings,
]  # fmt: skip


@pytest.mark.parametrize(
    "generator",
    [pytest.param(each, marks=[pytest.mark.full] * (each is make_choose), id=each.PATH.name) for each in GENERATORS],
)
def test_golden_file_is_what_its_generator_makes(generator):
    assert write_or_check(generator.PATH, generator.golden_text(), ["--check"]) == 0


@pytest.mark.parametrize("generator", GENERATORS, ids=lambda module: module.PATH.name)
def test_header_says_source_unit_and_tool(generator):
    header = json.loads(generator.PATH.read_text(encoding="utf-8"))
    assert {"format", "source", "unit", "tool"} <= set(header)
    assert (ROOT / header["source"].partition(";")[0]).is_file()


def test_check_notices_a_change(tmp_path: Path, capsys):
    path = tmp_path / "golden.json"
    assert write_or_check(path, "{}\n", ["--check"]) == 1
    assert write_or_check(path, "{}\n", []) == 0
    assert write_or_check(path, "{}\n", ["--check"]) == 0
    assert write_or_check(path, "[]\n", ["--check"]) == 1
    assert "golden.json" in capsys.readouterr().err
