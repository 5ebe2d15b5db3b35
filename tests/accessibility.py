"""What axe-core finds wrong in a page.

The engine goes into each document once, and only violations come back: a whole report costs more to fetch than to make.
"""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

_ENGINE = Axe().axe_script
_RUN = "async (options) => (await axe.run(document, { ...options, resultTypes: ['violations'] })).violations"


def violations(page: Page, options: dict) -> list[dict]:
    """Return the violations in the page as it stands, as axe-core describes them."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(_ENGINE)
    return page.evaluate(_RUN, options)
