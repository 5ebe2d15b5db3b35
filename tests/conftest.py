"""What every test folder shares: one Chromium for the whole run.

Playwright's synchronous interface can be started only once in a process, so no other file may start it.
"""

import pytest
from playwright.sync_api import sync_playwright

from tests.browser import launch_options as options_of_this_machine


@pytest.fixture(scope="session")
def launch_options() -> dict:
    """Keyword arguments for `chromium.launch` and `chromium.launch_persistent_context`."""
    return options_of_this_machine()


@pytest.fixture(scope="session")
def chromium(launch_options):  # noqa: ARG001 the options may start Playwright themselves, so they come first
    """Playwright's browser type, for tests that start and kill their own browser."""
    with sync_playwright() as playwright:
        yield playwright.chromium


@pytest.fixture(scope="session")
def browser(chromium, launch_options):
    """One browser for the session; take a fresh `browser.new_context()` for each test."""
    browser = chromium.launch(**launch_options)
    yield browser
    browser.close()
