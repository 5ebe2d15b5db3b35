"""Fixtures of the browser tests: the static origin, and pages that report what they must not do."""

import pytest
from static_server import serving


@pytest.fixture(scope="session")
def origin():
    """Address of the shell, the JavaScript tests and the fixtures."""
    with serving() as server:
        yield server.origin


@pytest.fixture
def page(browser):
    """A page of its own context: its storage is empty and goes away with the test."""
    context = browser.new_context()
    yield context.new_page()
    context.close()
