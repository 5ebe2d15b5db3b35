"""Drives the phone's screens by Playwright, in Chromium or Firefox, as a person does.

It knows nothing of stores or servers, so the same driver serves the screen tests and the end-to-end test.
"""

from pathlib import Path

from app_actions import TECHNICIAN, AppActions
from playwright.sync_api import BrowserContext, Locator, Page, expect

PHONE_SIZE = {"width": 360, "height": 740}
_LIMIT_MS = 30_000  # a busy machine is slow, not wrong


class AppDriver(AppActions):
    """One page with Tapermark open; make it with `open_app`."""

    def __init__(self, page: Page):
        self.page = page

    @property
    def url(self) -> str:
        return self.page.url

    @property
    def screen_text(self) -> str:
        return self.page.locator("body").inner_text()

    def key(self, name: str) -> Locator:
        return self.page.locator(f'[data-key="{name}"]')

    @property
    def heading(self) -> str:
        return self.page.locator("main h1:visible").first.inner_text()

    def shows(self, name: str) -> bool:
        return self.key(name).count() > 0 and self.key(name).first.is_visible()

    # Taps and keys

    def tap(self, name: str) -> None:
        self.key(name).first.click(timeout=_LIMIT_MS)

    def tap_on(self, name: str) -> None:
        before = self.page.url
        self.tap(name)
        self.page.wait_for_function("before => location.href !== before", arg=before, timeout=_LIMIT_MS)
        self.settle()

    def settle(self) -> None:
        """Wait until the screen of the address is the one that is drawn."""
        self.page.wait_for_function(
            "() => document.getElementById('main').dataset.place === location.hash", timeout=_LIMIT_MS
        )

    def wait_for(self, name: str, within: str = "") -> None:
        locator = self.key(name).locator(within) if within else self.key(name)
        expect(locator.first).to_be_visible(timeout=_LIMIT_MS)

    def wait_gone(self, name: str) -> None:
        expect(self.key(name)).to_have_count(0, timeout=_LIMIT_MS)

    def fill(self, name: str, text: str) -> None:
        self.key(name).fill(text)

    def select(self, name: str, value: str) -> None:
        self.key(name).select_option(value)

    def photo(self, file: Path | str, source: str = "camera") -> None:
        """Take a photo; `source` is camera or gallery. Returns when it is kept."""
        before = self.page.locator(".photos img").count()
        with self.page.expect_file_chooser(timeout=_LIMIT_MS) as chooser:
            self.tap(source)
        chooser.value.set_files(file)
        expect(self.page.locator(".photos img")).to_have_count(before + 1, timeout=30_000)

    # Jobs

    def wait_ready(self, limit_ms: int = 120_000) -> None:
        """Wait until the start screen says that a job can be done without network, kept for sure or not."""
        expect(self.page.locator('[data-key="ready"][data-works="true"]')).to_be_visible(timeout=limit_ms)

    def open_job(self, job: str) -> None:
        self.tap_on(f"job-{job}")
        self.settle()


def open_app(context: BrowserContext, url: str, technician: str = TECHNICIAN) -> AppDriver:
    """Open Tapermark in a new page of the context; on a fresh phone the technician's name is given."""
    page = context.pages[0] if context.pages else context.new_page()
    page.goto(url)
    driver = AppDriver(page)
    page.wait_for_selector("#main h1", timeout=_LIMIT_MS)
    if driver.shows("technician"):
        driver.name_technician(technician)
    return driver
