"""The list of parts asks for what this vehicle has."""

import re

import pytest
from playwright.sync_api import expect
from seeded_phone import bolts


@pytest.mark.parametrize(("held", "count"), [pytest.param("no", 0, marks=pytest.mark.full), ("yes", 1)])
def test_an_axle_nut_stands_in_the_lists_only_where_the_hub_is_held_by_one(sheets, held, count):
    p = sheets("choose.single-use", "plan", facts=[["vehicle.axle-nut", "field-set", {"value": held}]])
    expect(p.driver.key("part-axle-nut").filter(visible=True)).to_have_count(count)
    p.driver.tap("all-at-hand")
    p.driver.wait_state("choose.single-use")
    assert ("axle-nut" in p.value("choose.single-use")) == bool(count)
    p.work_until("finish.sign")
    p.show("sheet/finish")
    p.driver.tap_node(p.page.locator("summary", has_text="More").first)
    expect(p.driver.key("used-hub-bolts")).to_be_visible()
    expect(p.driver.key("used-axle-nut").filter(visible=True)).to_have_count(count)


def test_how_long_the_hub_bolts_have_to_be_stands_where_they_are_ordered(sheets):
    """As the bench says it of the same pair, whose arithmetic is bound to calc."""
    told = bolts(engaged_mm=14)
    told[2]["value"]["length_mm"] = 45
    p = sheets("choose.single-use", "plan", facts=[told])
    expect(p.driver.key("longer-left")).to_contain_text("Now 45 mm long: order")
    order = {side: _number("order", p.driver.key(f"longer-{side}")) for side in ("left", "right")}
    p.work_until("prepare.left.right-set")
    for side, length in order.items():
        p.show(f"sheet/bench.{side}")
        longer = _number("at least", p.driver.row(f"prepare.{side}.needs").locator('[data-key="longer-bolts"]'))
        assert longer > 4, "the stack is 4.8 mm in its middle"
        assert length == pytest.approx(45 + longer)


def _number(behind: str, node) -> float:
    return float(re.search(rf"{behind} ([\d.]+) mm", node.inner_text())[1])


def test_bolts_that_nobody_looked_at_have_no_length_to_order(sheets):
    p = sheets("choose.single-use", "plan")
    expect(p.driver.key("bolts-wanted")).to_contain_text("whether they hold cannot be said")
    expect(p.driver.key("bolts-wanted")).not_to_contain_text("mm")
