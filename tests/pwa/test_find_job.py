"""Finding an older job by its registration: only with a way to the shop, and it is whole on the phone afterwards."""

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, go

DEMO = "DEMO 351"


@pytest.fixture
def app(browser, url):
    """A phone to which the shop sends no job by itself."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    context.route("**/api/entries", lambda route: route.abort())
    yield open_app(context, url)
    context.close()


def test_a_job_of_the_shop_is_found_and_kept(app):
    go(app, "#/")
    app.tap("find-job")
    app.settle()
    app.tap("find")
    expect(app.key("find-registration-error")).to_contain_text("letters or digits")
    app.fill("find-registration", "no such 1")
    app.tap("find")
    expect(app.key("found")).to_contain_text("The shop has no job for no such 1")
    app.fill("find-registration", DEMO.lower())
    app.tap("find")
    found = app.page.locator('[data-key^="found-"]')
    expect(found).to_contain_text([DEMO])
    assert_clean(app, "find")
    found.first.click()
    app.page.wait_for_function("() => location.hash.startsWith('#/job/')")
    app.settle()
    app.page.context.set_offline(True)
    go(app, "#/")
    expect(app.page.locator("main")).to_contain_text(DEMO)
    assert app.page.evaluate(f"async () => (await {PHONE}.jobs()).length") == 1


@pytest.mark.full
def test_without_network_it_says_so_and_keeps_what_was_typed(app):
    go(app, "#/find")
    app.fill("find-registration", DEMO)
    app.page.context.set_offline(True)
    app.tap("find")
    expect(app.key("find-trouble")).to_contain_text("cannot be reached from here")
    expect(app.key("find-registration")).to_have_value(DEMO)
