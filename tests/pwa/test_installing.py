"""Coming to the home screen: the browser's own question, drawn steps on iPhones, the shortcut, what is kept in words.

The event and its `prompt` are those of Chromium's `beforeinstallprompt`; a headless browser never asks by itself, so
the test sends it. That Safari has no such event and keeps tab and home screen apart is from reports.
"""

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, go, wait_for_setting

IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_4 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko)"
    " Version/18.4 Mobile/15E148 Safari/604.1"
)
_OFFER = """() => {
  const offer = new Event('beforeinstallprompt', { cancelable: true });
  offer.prompt = async () => { globalThis.asked = (globalThis.asked ?? 0) + 1; };
  globalThis.dispatchEvent(offer);
  return offer.defaultPrevented;
}"""
_JOBS = f"""async () => {{
  const phone = {PHONE};
  const entries = await Promise.all((await phone.jobIds()).map((job) => phone.entries(job)));
  return entries.filter((each) => each.some(({{ by }}) => by === 'Iris Vance')).length;
}}"""


@pytest.fixture
def phone(browser, url):
    """Opens Tapermark in a context of its own with the given options."""
    contexts = []

    def opened(**options):
        contexts.append(browser.new_context(viewport=PHONE_SIZE, locale="en-GB", **options))
        return open_app(contexts[-1], url)

    yield opened
    for context in contexts:
        context.close()


def test_the_browser_s_question_comes_when_the_person_asks_and_once(phone):
    driver = phone()
    assert not driver.shows("install")
    assert driver.page.evaluate(_OFFER), "the browser must not ask by itself"
    driver.wait_for("install-now")
    assert_clean(driver, "the hint to install")
    driver.tap("install-now")
    expect(driver.key("install")).to_be_hidden()
    assert driver.page.evaluate("globalThis.asked") == 1


@pytest.mark.full
def test_the_hint_goes_away_for_good_but_stays_in_the_settings(phone):
    driver = phone()
    driver.page.evaluate(_OFFER)
    driver.tap("install-later")
    expect(driver.key("install")).to_be_hidden()
    wait_for_setting(driver.page, "install_hint", "later")
    driver.page.reload()
    driver.wait_for("new-job")
    driver.page.evaluate(_OFFER)
    driver.tap_on("settings")
    driver.wait_for("install-now")
    driver.tap_on("to-start")
    expect(driver.key("install")).to_be_hidden()


@pytest.mark.full
def test_once_installed_nothing_is_asked(phone):
    driver = phone()
    driver.page.evaluate(_OFFER)
    driver.page.evaluate("globalThis.dispatchEvent(new Event('appinstalled'))")
    expect(driver.key("install")).to_be_hidden()
    driver.tap_on("settings")
    expect(driver.key("install")).to_contain_text("is on the home screen")


@pytest.mark.full
def test_an_iphone_is_shown_the_steps_and_told_to_do_them_first(phone):
    driver = phone(user_agent=IPHONE, has_touch=True)
    steps = driver.key("install").locator(".install-steps li")
    expect(steps).to_have_count(3)
    assert all(step.locator("svg").is_visible() for step in steps.all())
    expect(driver.key("install")).to_contain_text("keep their jobs apart")
    assert_clean(driver, "the steps on an iPhone")
    driver.tap("install-later")
    expect(driver.key("install")).to_be_hidden()
    driver.page.context.route("**/api/**", lambda route: route.abort())
    driver.new_job()
    go(driver, "#/")
    expect(driver.key("install")).to_contain_text("does not come along")
    assert_clean(driver, "the steps on an iPhone with unsent work")


@pytest.mark.full
def test_the_settings_say_what_ready_means_and_what_is_not_kept(phone):
    driver = phone()
    driver.tap_on("settings")
    text = driver.key("kept").inner_text()
    for words in ("Kept here", "Not kept here", "private window", "home screen", "last 30 days"):
        assert words in text
    assert_clean(driver, "settings")


def test_the_shortcut_opens_one_job_and_is_no_place_to_come_back_to(phone, url):
    driver = phone()
    page = driver.page
    page.goto("about:blank")
    page.goto(f"{url}/#/new")
    driver.wait_for("row-vehicle.registration")
    assert page.evaluate(_JOBS) == 1
    page.goto("about:blank")
    page.goto(f"{url}/")
    driver.wait_for("row-vehicle.registration")
    assert page.evaluate(_JOBS) == 1
    go(driver, "#/")
    page.go_back()
    driver.settle()
    assert page.evaluate(_JOBS) == 1
