"""A ring set that its measuring could not vouch for: in no plan until a person puts it in, and said ever after."""

import pytest
from playwright.sync_api import expect
from seeded_phone import DESCRIPTION, READ, WINDOWS, SeededPhone

DOUBTS = ["wide-gap", "direction-not-settled"]
LIST_AGAIN = """async (doubts) => {
  const { openPhone } = await import("/js/store/phone.js");
  const phone = await openPhone();
  const sets = await phone.ringSets();
  await phone.keepRingSets(sets.map(({ sha256, table, ...set }) => ({
    ...set, table: sha256, ring_set: table.ring_set, trusted: !(set.id in doubts), doubts: doubts[set.id] ?? [],
  })));
}"""


@pytest.fixture
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


def to_plan(phone: SeededPhone, doubted: list[str]) -> None:
    phone.workbench.evaluate(LIST_AGAIN, dict.fromkeys(doubted, DOUBTS))
    phone.open_job([DESCRIPTION, *WINDOWS, *READ])
    phone.work_until("choose.advice")
    phone.show("sheet/plan")
    expect(phone.driver.key("plan-table")).to_be_visible()


def sets_in(plan: dict) -> set[str]:
    return {plan[side]["ring_set"] for side in ("left", "right") if plan[side]}


def test_an_untrusted_set_is_in_no_plan_until_one_tap_puts_it_in_and_then_everything_says_so(phone):
    to_plan(phone, ["demo-40", "demo-54", "demo-66"])
    driver = phone.driver
    expect(driver.key("pair-left")).to_contain_text("no rings")
    assert "would reach every window, but its data are untrusted" in driver.key("out-of-reach").inner_text()
    driver.tap("plan-more")
    apart = driver.key("untrusted-demo-54")
    expect(apart).to_contain_text("Demo 54 is untrusted")
    expect(apart).to_contain_text("More than a third of a rim was not measured.")
    expect(apart).to_contain_text("the rings may do the opposite")
    driver.tap("put-in-demo-54")
    expect(driver.key("plan").locator(".pair-set")).to_contain_text("Demo 54")
    assert phone.fields("rings.put-in") == [{"demo-54": DOUBTS}]
    expect(driver.key("doubted-demo-54")).to_contain_text("The data of ring set Demo 54 are in doubt.")
    for code in driver.advice:
        driver.answer_advice(code)
    driver.tap("take-plan")
    driver.wait_state("round.1.plan")
    body = phone.bodies("plan-chosen")[-1]["body"]
    assert sets_in(body["plan"]) == {"demo-54"}
    assert body["plan"]["doubts"] == {"demo-54": DOUBTS}
    assert list(body["tables"]) == ["demo-54"]
    driver.tap("consent-words")
    assert "The data of ring set Demo 54 are in doubt." in driver.key("consent-work").input_value()
    phone.show("report")
    expect(driver.key("report-doubted")).to_contain_text("More than a third of a rim was not measured.")


@pytest.mark.full
def test_a_change_of_trust_makes_no_plan_stale_and_what_is_doubted_now_is_said(phone):
    to_plan(phone, [])
    driver = phone.driver
    for code in driver.advice:
        driver.answer_advice(code)
    driver.tap("take-plan")
    driver.wait_state("round.1.plan")
    (used,) = sets_in(phone.bodies("plan-chosen")[-1]["body"]["plan"])
    phone.workbench.evaluate(LIST_AGAIN, {used: DOUBTS})
    phone.page.reload()
    expect(driver.key(f"doubted-{used}")).to_be_visible()
    assert not driver.shows("plan-stale")
    expect(driver.key("chosen")).to_be_visible()
