"""Tables: layout, rounding, and bytes that never change under their name."""

import json

import numpy as np
import pytest
from hypothesis import given, settings

from calc.choose.effect_index import index_of
from calc.rings.rings import RingSet, effect_of_pair
from calc.rings.table import effects_of, offered_of, table_bytes, table_name, table_of
from fixtures.golden.choose_cases import RING_SETS
from tests.calc.strategies import ring_sets


@settings(max_examples=40)
@given(ring_sets())
def test_layout_is_row_major_from_the_first_marks(obj):
    both = RingSet.from_json(obj)
    table = table_of(both)
    assert list(table) == ["format", "ring_set", "rows", "columns", "unit", "camber", "toe"]
    for i, j in ((0, 0), (2, 1), (both.inner.marks - 1, both.outer.marks - 1)):
        k = i * table["columns"] + j
        exact = np.degrees(effect_of_pair(both, i + both.inner.first_mark, j + both.outer.first_mark)) * 1000
        assert abs(table["camber"][k] - exact[0]) <= 0.5 + 1e-9
        assert abs(table["toe"][k] - exact[1]) <= 0.5 + 1e-9
    assert len(table["camber"]) == len(table["toe"]) == table["rows"] * table["columns"]


def test_a_pair_exactly_on_the_limit_is_offered_and_one_beyond_it_is_not():
    """A pair that tilts by exactly 1115 mdeg: a limit of 1115 keeps it, one of 1114 takes it away."""
    obj = next(each for each in RING_SETS if each["id"] == "seventy-two")
    camber, toe = effects_of(RingSet.from_json(obj))
    on_limit = camber**2 + toe**2 == 1115**2
    assert on_limit.any()
    for limit, is_offered in ((1115, True), (1114, False), (None, True)):
        limited = RingSet.from_json({**obj, "max_tilt_mdeg": limit})
        offered = offered_of(limited)
        assert (offered[on_limit] == is_offered).all()
        assert len(index_of((limited,)).i) == offered.sum()


def test_bytes_are_canonical_json():
    content = table_bytes(RingSet.from_json({**RING_SETS[0], "name": "Größe 6"}))
    assert content == json.dumps(json.loads(content), ensure_ascii=False, separators=(",", ":")).encode()
    assert "Größe".encode() in content


def test_names_of_recorded_tables_do_not_change():
    """If this fails, the arithmetic changed: every phone would see new tables. Say so in the changelog."""
    names = {obj["id"]: table_name(table_bytes(RingSet.from_json(obj)))[:12] for obj in RING_SETS}
    assert names == RECORDED


RECORDED = {
    "six": "3cc515616555",
    "four-five": "84feffb6ed04",
    "eight-small": "9bb119fab3df",
    "twelve": "c74138b349bd",
    "eighteen-limited": "c2f31f3217b0",
    "forty": "aff66251d924",
    "fifty-four": "0b6deed6def0",
    "sixty-six": "7fea6dadd4b1",
    "seventy-two": "17a7b509a45e",
}


def test_kept_effects_cannot_be_written_to():
    camber, _toe = effects_of(RingSet.from_json(RING_SETS[0]))
    with pytest.raises(ValueError, match="read-only"):
        camber[0, 0] = 1
