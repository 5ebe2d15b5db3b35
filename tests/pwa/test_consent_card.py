"""What the consent says of itself once it is recorded: a change is there to be recorded, or there is nothing to do."""

from playwright.sync_api import expect


def test_after_the_consent_a_button_is_named_only_where_it_stands(sheets):
    p = sheets("consent", "plan")
    for name, text in (("price", "180 to 240"), ("customer", "A. Customer")):
        p.driver.type_into(f"consent-{name}", text)
    p.driver.tap("consent-risks")
    p.driver.tap("consent-how-in-person")  # the last answer records it
    p.driver.wait_state("consent")
    said, record = p.driver.key("consent-said"), p.driver.key("record-consent")
    expect(said).to_have_text("Consent is recorded.")
    expect(record).to_be_hidden()
    p.driver.key("consent-price").fill("200 to 260")
    expect(said).to_contain_text('not recorded yet. Tap "The customer agreed"')
    expect(record).to_be_visible()
    expect(record).to_have_text("The customer agreed")
    p.driver.tap("record-consent")
    expect(said).to_have_text("Consent is recorded.")
    expect(record).to_be_hidden()
    [entry] = p.live("consent")
    assert entry["body"]["price"] == "200 to 260"
