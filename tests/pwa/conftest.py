"""Fixtures of the browser tests: the static origin, and pages that report what they must not do."""

import pytest
from app_driver import PHONE_SIZE
from drawing_page import PHONE
from fitted_phone import fit_once
from screen_checks import open_ready
from static_server import serving

from tests.live_server import LiveServer


@pytest.fixture(scope="session")
def origin():
    """Address of the shell, the JavaScript tests and the fixtures."""
    with serving() as server:
        yield server.origin


@pytest.fixture(scope="module")
def url(tmp_path_factory):
    """Address of a demo shop of the module's own."""
    with LiveServer(tmp_path_factory.mktemp("shop")) as server:
        yield server.url


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
