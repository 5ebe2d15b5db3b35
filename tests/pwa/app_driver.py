"""Drives the phone's screens as a person does: by tapping controls and typing on the keypad.

It finds controls by their stable `data-key` and knows nothing of stores or servers, so the same driver serves the
screen tests and the end-to-end test. Every wait has a limit.
"""

import re
from pathlib import Path
from urllib.parse import unquote

from playwright.sync_api import BrowserContext, Locator, Page, expect

PHONE_SIZE = {"width": 360, "height": 740}
TECHNICIAN = "Iris Vance"
_KEYS = {".": "mark", ",": "mark", " ": "and", "'": "′"}
_LIMIT_MS = 10_000


class AppDriver:
    """One page with Tapermark open; make it with `open_app`."""

    def __init__(self, page: Page):
        self.page = page

    # Where things are

    def key(self, name: str) -> Locator:
        return self.page.locator(f'[data-key="{name}"]')

    @property
    def heading(self) -> str:
        return self.page.locator("main h1:visible").first.inner_text()

    @property
    def slot(self) -> str | None:
        """The slot of the step that is open, None on other screens."""
        found = re.search(r"#/job/[^/]+/step/([^/]+)", self.page.url)
        return unquote(found[1]) if found else None

    @property
    def job(self) -> str | None:
        found = re.search(r"#/job/([^/]+)", self.page.url)
        return found[1] if found else None

    def shows(self, name: str) -> bool:
        return self.key(name).count() > 0 and self.key(name).first.is_visible()

    # Taps and keys

    def tap(self, name: str) -> None:
        self.key(name).first.click(timeout=_LIMIT_MS)

    def tap_on(self, name: str) -> str | None:
        """Tap what ends this step and wait until another screen is open; return the slot that came."""
        before = self.page.url
        self.tap(name)
        self.page.wait_for_function("before => location.href !== before", arg=before, timeout=_LIMIT_MS)
        self.settle()
        return self.slot

    def settle(self) -> None:
        """Wait until the screen of the address is the one that is drawn."""
        self.page.wait_for_function(
            "() => document.getElementById('main').dataset.place === location.hash", timeout=_LIMIT_MS
        )

    def type_keys(self, text: str) -> None:
        """Type on the in-page keypad; a comma or point taps the decimal mark's key."""
        for character in text:
            self.tap(f"key-{_KEYS.get(character, character)}")

    def type_angle(self, text: str, way: str | None, unit: str | None = None, diameter_mm: str | None = None):
        """Type one angle on the keypad without keeping it: unit, diameter, digits, way."""
        if unit:
            self.key("unit").select_option(unit)
        if diameter_mm:
            self.key("diameter").fill(diameter_mm)
        self.tap("key-clear")
        self.type_keys(text)
        if way:
            self.tap(f"way-{way}")

    @property
    def echo(self) -> str:
        return self.key("echo").inner_text()

    # Jobs

    def name_technician(self, name: str = TECHNICIAN) -> None:
        self.key("technician").fill(name)
        self.tap("keep-name")
        expect(self.key("new-job")).to_be_visible(timeout=_LIMIT_MS)

    def wait_ready(self, limit_ms: int = 30_000) -> None:
        """Wait for "ready without network" on the start screen."""
        expect(self.page.locator('[data-key="ready"][data-ready="true"]')).to_be_visible(timeout=limit_ms)

    def new_job(self) -> str:
        """Open a new job; returns its id, with its first step open."""
        self.tap("new-job")
        self.page.wait_for_function("() => /#[/]job[/].+[/]step[/]/.test(location.hash)", timeout=_LIMIT_MS)
        self.settle()
        return self.job

    def open_job(self, job: str) -> None:
        self.tap_on(f"job-{job}")
        self.settle()

    def open_step(self, slot: str, stage: str) -> None:
        """Go to a step through the whole list."""
        if not self.page.url.endswith("/steps"):
            self.tap_on("steps")
        details = self.key(f"stage-{stage}")
        if details.get_attribute("open") is None:
            details.locator("summary").first.click()
        self.tap_on(f"step-{slot}")

    # One step at a time; each returns the slot that follows

    def done(self) -> str | None:
        return self.tap_on("done")

    def confirm(self) -> str | None:
        return self.tap_on("confirm")

    def skip(self) -> str | None:
        return self.tap_on("skip")

    def next(self) -> str | None:
        return self.tap_on("next")

    def text(self, text: str) -> str | None:
        self.key("text").fill(text)
        return self.tap_on("keep")

    def number(self, text: str, unit: str | None = None) -> str | None:
        if unit:
            self.key("number-unit").select_option(unit)
        self.type_keys(text)
        return self.tap_on("keep")

    def choose(self, option: str) -> str | None:
        """Choose an answer that does not stop the job, and keep it."""
        self.tap(f"choice-{option}")
        return self.tap_on("confirm" if self.shows("confirm") else "keep")

    def photo(self, file: Path | str, source: str = "camera") -> None:
        """Take a photo; `source` is camera or gallery. Returns when it is kept."""
        before = self.page.locator(".photos img").count()
        with self.page.expect_file_chooser(timeout=_LIMIT_MS) as chooser:
            self.tap(source)
        chooser.value.set_files(file)
        expect(self.page.locator(".photos img")).to_have_count(before + 1, timeout=30_000)

    def same_side(self) -> None:
        """Answer the question that comes when the work changes to the other wheel."""
        if self.shows("side-yes"):
            self.tap("side-yes")
            expect(self.key("side-yes")).to_have_count(0, timeout=_LIMIT_MS)

    # Panels

    def keep_angle(self, text: str, way: str | None, unit: str | None = None, diameter_mm: str | None = None):
        """Type one angle asked for on its own screen, keep it, and wait for what comes next."""
        asked = self.page.locator('[data-key="angle-ask"] h1').element_handle(timeout=_LIMIT_MS)
        self.type_angle(text, way, unit, diameter_mm)
        self.tap("keep")
        self.page.wait_for_function("node => !node.isConnected", arg=asked, timeout=_LIMIT_MS)

    def read_wheels(self, left: tuple, right: tuple, **units) -> None:
        """Take one reading of both wheels; each is ((camber text, way), (toe text, way))."""
        if self.shows("read"):
            self.tap("read")
        for camber, toe in (left, right):
            self.keep_angle(*camber, unit=units.get("camber_unit"))
            self.keep_angle(*toe, unit=units.get("toe_unit"), diameter_mm=units.get("diameter_mm"))
        expect(self.key("angle-ask")).to_have_count(0, timeout=_LIMIT_MS)

    def window_source(self, source: str) -> None:
        self.key("window-source").fill(source)
        self.tap("keep-source")
        expect(self.key("type-window")).to_be_visible(timeout=_LIMIT_MS)

    def window(self, key: str, low: tuple | None, high: tuple | None = None, **units) -> None:
        """Give one window ("camber", "toe", "total-toe", ...); None: the maker gives none."""
        if low is None:
            self.tap(f"none-{key}")
        else:
            self.tap(f"type-{key}")
            self.keep_angle(*low, **units)
            self.keep_angle(*high, **units)
        expect(self.key(f"window-{key}").locator(".shape-done")).to_be_visible(timeout=_LIMIT_MS)

    def single_use(self, state: str = "at-hand") -> str | None:
        for item in self.page.locator('fieldset[data-key^="item-"]').all():
            item.locator(f'input[value="{state}"]').check()
        return self.tap_on("keep")

    def consent(self, **texts: str) -> str | None:
        """Record the consent; texts: findings, work, price, customer."""
        for name, text in texts.items():
            self.key(f"consent-{name}").fill(text)
        self.tap("consent-risks-told")
        self.tap("consent-how-signed")
        return self.tap_on("confirm")

    def torque(self, text: str, source: str, unit: str = "nm") -> str | None:
        self.key("torque-unit").select_option(unit)
        self.type_keys(text)
        self.key("torque-source").fill(source)
        return self.tap_on("keep")

    def stop_job(self, reason: str, vehicle: str, awaited: str, key_kept: bool = True) -> None:
        if not self.shows("stop-reason"):
            self.tap_on("stop")
        self.tap(f"stop-reason-{reason}")
        self.tap(f"stop-vehicle-{vehicle}")
        self.key("stop-awaited").fill(awaited)
        self.tap(f"stop-key-{'kept' if key_kept else 'with-customer'}")
        self.tap("confirm")
        expect(self.key("stopped")).to_be_visible(timeout=_LIMIT_MS)


def open_app(context: BrowserContext, url: str, technician: str = TECHNICIAN) -> AppDriver:
    """Open Tapermark in a new page of the context; on a fresh phone the technician's name is given."""
    page = context.pages[0] if context.pages else context.new_page()
    page.goto(url)
    driver = AppDriver(page)
    page.wait_for_selector("#main h1", timeout=_LIMIT_MS)
    if driver.shows("technician"):
        driver.name_technician(technician)
    return driver
