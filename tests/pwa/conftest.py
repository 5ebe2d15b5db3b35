"""Fixtures of the browser tests: the static origin, and pages that report what they must not do."""

import pytest
from app_driver import PHONE_SIZE
from drawing_page import PHONE
from fitted_phone import fit_once
from screen_checks import open_ready
from sheets_phone import SheetsPhone
from static_server import serving

from tests.demo_shop import DemoShop


@pytest.fixture(scope="session")
def origin():
    """Address of the shell, the JavaScript tests and the fixtures."""
    with serving() as server:
        yield server.origin


@pytest.fixture(scope="session")
def demo_shop(tmp_path_factory):
    with DemoShop(tmp_path_factory.mktemp("shop")) as shop:
        yield shop


@pytest.fixture(scope="module")
def url(demo_shop):
    """Address of a demo shop that no other module has been in."""
    return demo_shop.begin_again()


@pytest.fixture(scope="module")
def app(browser, url):
    """One phone for the module, with ring tables, in English."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    yield open_ready(context, url)
    context.close()


@pytest.fixture
def page(browser):
    """A page of its own context: its storage is empty and goes away with the test."""
    context = browser.new_context()
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def small_page(browser, origin):
    """A page of the size of a small phone, with touch, for one module of drawings."""
    context = browser.new_context(viewport=PHONE, has_touch=True)
    page = context.new_page()
    page.goto(f"{origin}/tests/run.html")
    yield page
    context.close()


@pytest.fixture
def phone(small_page):
    """A page of the size of a small phone, with touch; every test shows its own drawing and may raise no error."""
    errors = []

    def keep(error):
        errors.append(str(error))

    small_page.on("pageerror", keep)
    yield small_page
    small_page.remove_listener("pageerror", keep)
    assert not errors


@pytest.fixture
def fitted_once(browser, origin):
    """A phone with a job whose rings are fitted in its first round, before the check readings."""
    phone = fit_once(browser, origin)
    yield phone
    phone.close()


@pytest.fixture
def sheets(browser, origin):
    """Opens phones with a job of the sheets; see SheetsPhone for what is named."""
    made = []

    def open_at(*where, **how) -> SheetsPhone:
        made.append(SheetsPhone(browser, origin, *where, **how))
        return made[-1]

    yield open_at
    for each in made:
        each.close()
