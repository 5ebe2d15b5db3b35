"""Jobs of which a phone has only a line: in the list, told apart in words, and taken along with the network alone."""

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, go, open_ready

pytestmark = pytest.mark.full

CLOSED = ".line-card"
HERE = f"async (job) => {PHONE}.isHere(job)"


@pytest.fixture
def app(browser, url):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    yield open_ready(context, url)
    context.close()


def line_of(app) -> str:
    """Go to the list and return the id of a job that stands there as a line."""
    go(app, "#/")
    lines = app.page.locator(CLOSED)
    expect(lines.first).to_contain_text("Not on this phone")
    assert_clean(app, "the list with lines")
    return lines.first.get_attribute("data-key").removeprefix("line-")


def test_a_closed_job_of_another_phone_is_a_line_and_open_ones_are_here(app):
    job = line_of(app)
    assert not app.page.evaluate(HERE, job)
    open_cards = app.key("jobs-open").locator(".job-card")
    expect(open_cards.first).to_be_visible()
    assert app.key("jobs-open").locator(CLOSED).count() == 0
    app.tap(f"line-{job}")
    expect(app.key("line-about")).to_contain_text("This phone has only the job's line")
    assert_clean(app, "line")


def test_a_line_is_taken_along_with_network_only_and_is_then_here_without_it(app):
    job = line_of(app)
    app.tap(f"line-{job}")
    app.page.context.set_offline(True)
    app.tap("take-along")
    expect(app.key("line-trouble")).to_contain_text("cannot be reached from here")
    assert not app.page.evaluate(HERE, job)
    app.page.context.set_offline(False)
    app.page.wait_for_function("() => fetch('/api/session').then(({ ok }) => ok, () => false)")
    app.tap("take-along")
    expect(app.key("line-about")).to_have_count(0)
    app.settle()
    app.page.context.set_offline(True)
    go(app, "#/")
    expect(app.key(f"job-{job}")).to_be_visible()
    expect(app.key(f"line-{job}")).to_have_count(0)
    app.tap(f"job-{job}")
    expect(app.page.locator(".job-sheet, [data-key=stop-reason], h1").first).to_be_visible()
    assert app.page.evaluate(HERE, job)


def test_an_address_of_a_job_that_is_not_here_says_so_instead_of_showing_an_empty_sheet(app):
    go(app, "#/job/99999999-9999-4999-8999-999999999999/sheet/vehicle")
    expect(app.key("line-unknown")).to_contain_text("This phone knows nothing of this job")
    app.tap("take-along")
    expect(app.key("line-trouble")).to_contain_text("The shop has no such job")
