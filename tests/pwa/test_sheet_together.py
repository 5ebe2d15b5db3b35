"""One tap for the rows of a group: each is named, an exception stands, and one undo takes all of them back."""

from playwright.sync_api import expect

WEAR = [f"vehicle.wear-{wheel}" for wheel in ("rear-left", "rear-right", "front-left", "front-right")]
INSPECTION = [f"vehicle.{part}" for part in ("bearings", "bushes-springs", "structure")]


def test_an_exception_is_tapped_in_its_row_and_the_others_are_named_and_answered_at_once(sheets):
    p = sheets("vehicle.wear-rear-left", "condition")
    button = p.driver.key("together-wear")
    expect(button).to_contain_text("These 4: Even")
    p.driver.choose(WEAR[0], "inner")
    expect(button).to_contain_text("These 3: Even")
    expect(button).to_contain_text("Wear, rear right · Wear, front left · Wear, front right")
    p.driver.together("wear", *WEAR)
    assert [p.value(slot) for slot in WEAR] == ["inner", "even", "even", "even"]
    expect(button).to_be_hidden()


def test_one_undo_takes_back_all_that_one_tap_answered_and_says_so(sheets):
    p = sheets("vehicle.wear-rear-left", "condition")
    p.driver.choose(WEAR[0], "outer")
    p.driver.together("wear", *WEAR)
    expect(p.driver.key("bar-note")).to_have_text("Undo, and 2 with it: Even back to open · Wear, rear right")
    p.driver.tap("undo-last")
    for slot in WEAR[1:]:
        p.driver.wait_state(slot, "open")
    assert p.value(WEAR[0]) == "outer"
    expect(p.driver.key("together-wear")).to_contain_text("These 3: Even")


def test_it_is_shut_behind_the_hold_that_its_rows_wait_for(sheets):
    p = sheets("vehicle.inspection-supported", "condition")
    expect(p.driver.row(INSPECTION[0])).to_have_attribute("data-state", "locked")
    expect(p.driver.key("together-inspection")).to_have_count(0)
    p.driver.hold("vehicle.inspection-supported")
    expect(p.driver.key("together-inspection")).to_contain_text(
        "Rear wheel bearings · Bushes, springs and dampers · Axle, arms and hubs"
    )
    p.driver.choose(INSPECTION[1], "repaired")
    p.driver.together("inspection", *INSPECTION)
    assert [p.value(slot) for slot in INSPECTION] == ["sound", "repaired", "sound"]


def test_it_stands_beneath_its_rows(sheets):
    p = sheets("vehicle.wear-rear-left", "condition")
    low = p.driver.key("together-wear").bounding_box()["y"]
    for slot in WEAR:
        box = p.driver.row(slot).bounding_box()
        assert box["y"] + box["height"] <= low, slot
