"""Table and plan belong together: a table with one bit flipped is never kept, and an old plan is
worked out again with the very table that it names, whatever has come since.
"""

import json

import pytest

from calc.rings.rings import RingSet
from calc.rings.table import table_bytes, table_name
from tests.live_server import ROOT

RING_SET = json.loads((ROOT / "fixtures/demo/ring-sets/demo-54.json").read_text("utf-8"))
RECORDED = json.loads((ROOT / "fixtures/entries/v1/18-plan-chosen.json").read_text("utf-8"))["body"]
OPEN = """async () => { globalThis.phone = await (await import("/js/store/phone.js")).openPhone(); }"""
KEEP = """([name, text, flip]) => {
    const bytes = new TextEncoder().encode(text);
    if (flip !== null) bytes[flip >> 3] ^= 1 << (flip & 7);
    return phone.keepTable(name, bytes.buffer).then(() => "kept", (error) => error.code);
}"""
LIST = """(ringSets) => phone.keepRingSets(ringSets)"""
AGAIN = """async ([input, name]) => {
    const { choose } = await import("/js/domain/choose/choose.js");
    const { plans, advice } = choose(input, [await phone.table(name)]);
    return { plan: plans[0], advice };
}"""


@pytest.fixture
def phone(page, origin):
    page.goto(f"{origin}/tests/run.html")
    page.evaluate(OPEN)
    return page


def table_of(ring_set: dict) -> tuple[str, str]:
    content = table_bytes(RingSet.from_json(ring_set))
    return table_name(content), content.decode("ascii")


def test_a_table_with_one_bit_flipped_is_never_kept(phone):
    name, text = table_of(RING_SET)
    for flip in (0, 8 * len(text) - 1, 8 * text.index("camber") + 3, *range(4001, 8 * len(text), 60_013)):
        assert phone.evaluate(KEEP, [name, text, flip]) == "table-damaged"
    assert phone.evaluate("phone.tableNames()") == []
    assert phone.evaluate("async (name) => phone.table(name)", name) is None
    assert phone.evaluate(KEEP, [name, text, None]) == "kept"


def test_an_old_plan_is_worked_out_again_with_the_table_that_it_names(phone):
    name, text = table_of(RING_SET)
    assert RECORDED["tables"] == {"demo-54": name}, "the table of a released ring set never changes"
    newer = RING_SET | {"revision": 2, "inner": RING_SET["inner"] | {"taper_mdeg": 400}}
    newer_name, newer_text = table_of(newer)
    for each, content in ((name, text), (newer_name, newer_text)):
        assert phone.evaluate(KEEP, [each, content, None]) == "kept"
    listed = {"id": "demo-54", "name": "Demo 54", "retired": False}
    phone.evaluate(LIST, [listed | {"revision": 2, "table": newer_name}])
    assert [each["sha256"] for each in phone.evaluate("phone.ringSets()")] == [newer_name]
    needless = {"needless": 0}  # which the program of that time did not write
    expected = {"plan": RECORDED["plan"] | needless, "advice": RECORDED["advice"]}
    assert phone.evaluate(AGAIN, [RECORDED["input"], name]) == expected
    assert phone.evaluate(AGAIN, [RECORDED["input"], newer_name]) != expected
