"""A signed job: its bar says so and leads to the report, whatever was left open."""

import pytest
from playwright.sync_api import expect

SAID = {"en": ("Signed: to the report", "Finish, signed"), "es": ("Firmado: al informe", ", firmado")}


@pytest.mark.parametrize("language", ["en", pytest.param("es", marks=pytest.mark.full)])
def test_the_bar_of_a_signed_job_leads_to_the_report(sheets, language):
    p = sheets("finish.driver-assist", "finish", language=language)
    button, place = SAID[language]
    expect(p.driver.key("next")).not_to_contain_text(button)
    p.save_elsewhere(None, "job-signed", {"covers": []})
    p.page.reload()
    p.driver.settle()
    expect(p.driver.key("next")).to_have_text(button)
    expect(p.page.locator(".top-place")).to_contain_text(place)
    p.driver.next()
    p.page.wait_for_url("**/report*")


def test_a_signed_job_that_proposed_no_vehicle_type_says_nothing_of_one(sheets):
    p = sheets("finish.driver-assist", "finish")
    card = p.driver.row("finish.vehicle-type")
    expect(card).to_contain_text("Vehicle type")
    p.save_elsewhere(None, "job-signed", {"covers": []})
    p.page.reload()
    expect(p.driver.row("finish.sign")).to_contain_text("Signed by")  # drawn by the program, not the picture of before
    expect(card).to_be_hidden()
