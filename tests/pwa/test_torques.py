"""A torque is typed once, on the Plan sheet, and stands in figures where the wrench is in hand."""

from playwright.sync_api import expect

BOOK = "Service information, edition 7"


def typed(text: str, unit: str = "nm", source: str = BOOK, angle: int | None = None) -> dict:
    nm = round(float(text) * (1 if unit == "nm" else 1.3558179483314003), 1)
    named = "newton-metres" if unit == "nm" else "pound-force-feet"
    return {
        "value_nm": nm, "text": text, "unit": unit, "source": source, "angle_deg": angle, "unit_named": named,
    }  # fmt: skip


def fact(slot: str, value) -> list:
    return [slot, "field-set", {"value": value}]


TORQUES = [
    fact("torque.caliper", typed("35")),
    fact("torque.bracket", typed("75", angle=60, source="Bulletin 12, page 3")),
    fact("torque.wheel", typed("88.5", "lbf-ft")),
    fact("torque.axle-nut", typed("180")),
]
VEHICLE = [
    fact("vehicle.rear-brake", "disc"),
    fact("vehicle.caliper-bracket", "outboard-of-ear"),
    fact("vehicle.axle-nut", "yes"),
]


def test_each_torque_stands_in_figures_with_its_source_in_the_row_that_uses_it(sheets):
    p = sheets("fit.left.bracket-bolts", "wheel.left", facts=[*VEHICLE, *TORQUES])
    row = p.driver.row("fit.left.bracket-bolts")
    shown = ["Caliper bolts 35 N m", "Bracket bolts 75 N m, then 60° further"]
    expect(row.locator(".torque-in-hand")).to_have_text(shown)
    expect(row.locator(".torque-source")).to_have_text([f"Source: {BOOK}", "Source: Bulletin 12, page 3"])
    size = row.locator(".torque-in-hand strong").first.evaluate("node => parseFloat(getComputedStyle(node).fontSize)")
    assert size >= 30
    p.save_elsewhere("torque.caliper", "field-set", {"value": typed("38")}, instead=True)
    expect(row.locator(".torque-in-hand").first).to_have_text("Caliper bolts 38 N m")
    assert p.too_wide() <= 0
    nut = p.driver.row("fit.left.axle-nut")
    expect(nut.locator(".torque-in-hand")).to_have_text("Axle nut 180 N m")
    p.show("sheet/down")
    wheel = p.driver.row("fit.left.wheel-fasteners")
    expect(wheel.locator(".torque-in-hand")).to_have_text("Wheel fasteners 88.5 lbf ft")
    expect(wheel.locator(".torque-source")).to_have_text(f"Source: {BOOK}")
    expect(p.driver.row("fit.left.axle-nut-final").locator(".torque-in-hand")).to_have_text("Axle nut 180 N m")
    assert p.too_wide() <= 0


def test_a_torque_that_nobody_typed_is_asked_for_and_never_guessed(sheets):
    p = sheets("fit.left.bracket-bolts", "wheel.left", facts=VEHICLE[:2])
    p.save_elsewhere("torque.caliper", "field-set", {"value": None}, instead=True)
    row = p.driver.row("fit.left.bracket-bolts")
    expect(row.locator('[data-key="no-torque.caliper"]')).to_contain_text("Caliper bolts: no torque is typed yet")
    p.driver.tap("to-torque.caliper")
    p.page.wait_for_url("**/sheet/plan**")


def test_another_unit_keeps_the_number_and_is_plainly_said(sheets):
    p = sheets("fit.chocked", "plan", facts=[fact("fit.torque", typed("88"))])
    p.driver.aim("fit.torque.torque")
    key, echo = p.driver.key("key-unit"), p.driver.key("echo")
    expect(key).to_have_text("N m")
    expect(echo).to_have_text("")
    p.driver.tap("key-unit")
    expect(key).to_have_text("lbf ft")
    expect(p.driver.key("cell-fit.torque.torque")).to_have_value("88")
    expect(p.driver.cell("fit.torque.torque")).to_contain_text("lbf ft")
    expect(echo).to_have_text("Now 88 lbf ft. It was 88 N m.")
    p.driver.tap("key-next")
    p.page.wait_for_function("() => document.querySelector('[data-key=\"echo\"]').textContent === ''")
    assert (p.value("fit.torque")["unit"], p.value("fit.torque")["value_nm"]) == ("lbf-ft", 119.3)
