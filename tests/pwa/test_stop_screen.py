"""What a stop offers and says: by what was raised, opened and backed out."""

from playwright.sync_api import expect
from seeded_phone import bolts

AS_IT_CAME = "vehicle_state-as-it-came"


def test_a_vehicle_that_is_up_is_not_left_as_it_came_though_it_was_tapped_before(sheets):
    p = sheets("fit.supported", "lift")
    driver = p.show("stop")
    driver.tap(AS_IT_CAME)
    expect(driver.page.get_by_text("Nothing is fitted")).to_be_hidden()  # fasteners were eased
    p.work_until("fit.left.hub-free")
    p.show("sheet/wheel.left")
    driver = p.show("stop")
    expect(driver.key("stop-now")).to_be_visible()
    expect(driver.key(AS_IT_CAME)).to_have_count(0)
    driver.tap("reason-other")
    driver.tap("key_kept-kept")
    driver.tap("stop-now")
    expect(driver.key("stop-said")).to_contain_text("how the vehicle is left")
    assert p.bodies("job-stopped") == []


def test_a_hub_bolt_that_was_backed_out_is_said_until_somebody_says_that_it_is_in_again(sheets):
    p = sheets("vehicle.mounting", "possible", [bolts()])
    driver = p.show("stop")
    expect(driver.key("stop-now")).to_be_visible()
    expect(driver.key("bolt-out")).to_have_count(0)
    measured = bolts()[2]["value"]
    p.save_elsewhere("vehicle.bolts", "field-set", {"value": measured | {"length_mm": 32}}, instead=True)
    p.show("sheet/possible")
    driver = p.show("stop")
    expect(driver.key("bolt-out")).to_contain_text("in again, or a new one")
    p.save_elsewhere("finish.bolt-back", "step-done", {})
    p.show("sheet/possible")
    driver = p.show("stop")
    expect(driver.key("stop-now")).to_be_visible()
    expect(driver.key("bolt-out")).to_have_count(0)
