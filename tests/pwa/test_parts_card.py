"""The list of parts asks for what this vehicle has."""

import pytest
from playwright.sync_api import expect


@pytest.mark.parametrize(("held", "count"), [("no", 0), ("yes", 1)])
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
