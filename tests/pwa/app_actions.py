"""What a person does with the phone's screens, in whatever browser: taps, typed figures, whole panels.

Controls are found by their stable `data-key`. A driver of one browser gives the few ways to reach them; nothing here
knows the browser, a store or a server.
"""

import re
from abc import ABC, abstractmethod
from pathlib import Path
from urllib.parse import unquote

TECHNICIAN = "Iris Vance"
_KEYS = {".": "mark", ",": "mark", " ": "and", "'": "′"}


class AppActions(ABC):
    """Every wait has a limit."""

    # What a browser's driver gives; a name is a control's data-key

    @property
    @abstractmethod
    def url(self) -> str:
        """The address of the page."""

    @property
    @abstractmethod
    def screen_text(self) -> str:
        """All that the screen says, for the words of a failure."""

    @abstractmethod
    def shows(self, name: str) -> bool:
        """Tell whether the control can be seen now."""

    @abstractmethod
    def wait_for(self, name: str, within: str = "") -> None:
        """Wait until the control can be seen, or what the CSS selector `within` finds in it."""

    @abstractmethod
    def wait_gone(self, name: str) -> None: ...

    @abstractmethod
    def tap(self, name: str) -> None: ...

    @abstractmethod
    def tap_on(self, name: str) -> str | None:
        """Tap what ends this step and wait until another screen is drawn; return the slot that came."""

    @abstractmethod
    def fill(self, name: str, text: str) -> None:
        """Put a text into a field, instead of what it holds."""

    @abstractmethod
    def select(self, name: str, value: str) -> None:
        """Choose an option of a select element."""

    @abstractmethod
    def check_all(self, selector: str) -> None:
        """Check every radio button that a CSS selector finds."""

    @abstractmethod
    def tap_until_other_name(self, name: str, selector: str) -> None:
        """Tap, and wait until what the CSS selector finds has another accessible name, or is gone."""

    @abstractmethod
    def photo(self, file: Path | str, source: str = "camera") -> None:
        """Take a photo; `source` is camera or gallery. Returns when it is kept."""

    # Where things are

    @property
    def slot(self) -> str | None:
        """The slot of the step that is open, None on other screens."""
        found = re.search(r"#/job/[^/]+/step/([^/]+)", self.url)
        return unquote(found[1]) if found else None

    @property
    def job(self) -> str | None:
        found = re.search(r"#/job/([^/]+)", self.url)
        return found[1] if found else None

    def type_keys(self, text: str) -> None:
        """Type on the in-page keypad; a comma or point taps the decimal mark's key."""
        for character in text:
            self.tap(f"key-{_KEYS.get(character, character)}")

    def type_angle(self, text: str, way: str | None, unit: str | None = None, diameter_mm: str | None = None):
        """Type one angle on the keypad without keeping it: unit, diameter, digits, way."""
        if unit:
            self.select("unit", unit)
        if diameter_mm:
            self.fill("diameter", diameter_mm)
            self.fill("shown", "")  # the keypad types where the cursor was last
        self.tap("key-clear")
        self.type_keys(text)
        if way:
            self.tap(f"way-{way}")

    # Jobs

    def name_technician(self, name: str = TECHNICIAN) -> None:
        self.fill("technician", name)
        self.tap("keep-name")
        self.wait_for("new-job")

    def new_job(self) -> str:
        """Open a new job; returns its id, with its first step open."""
        self.tap_on("new-job")
        self.wait_for("steps")  # the job's own address leads on to its first step
        return self.job

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
        self.fill("text", text)
        return self.tap_on("keep")

    def number(self, text: str, unit: str | None = None) -> str | None:
        if unit:
            self.select("number-unit", unit)
        self.type_keys(text)
        return self.tap_on("keep")

    def choose(self, option: str) -> str | None:
        """Choose an answer that does not stop the job, and keep it."""
        self.tap(f"choice-{option}")
        return self.tap_on("confirm" if self.shows("confirm") else "keep")

    def same_side(self) -> None:
        """Answer the question that comes when the work changes to the other wheel."""
        if self.shows("side-yes"):
            self.tap("side-yes")
            self.wait_gone("side-yes")

    # Panels

    def keep_angle(self, text: str, way: str | None, unit: str | None = None, diameter_mm: str | None = None):
        """Type one angle asked for on its own screen, keep it, and wait for what comes next."""
        self.type_angle(text, way, unit, diameter_mm)
        self.tap_until_other_name("keep", ".angle-entry")

    def read_wheels(self, left: tuple, right: tuple, **units) -> None:
        """Take one reading of both wheels; each is ((camber text, way), (toe text, way))."""
        if self.shows("read"):
            self.tap("read")
        for camber, toe in (left, right):
            self.keep_angle(*camber, unit=units.get("camber_unit"))
            self.keep_angle(*toe, unit=units.get("toe_unit"), diameter_mm=units.get("diameter_mm"))
        self.wait_gone("angle-ask")

    def window_source(self, source: str) -> None:
        self.fill("window-source", source)
        self.tap("keep-source")
        self.wait_for("type-window")

    def window(self, key: str, low: tuple | None, high: tuple | None = None, **units) -> None:
        """Give one window ("camber", "toe", "total-toe", ...); None: the maker gives none."""
        if low is None:
            self.tap(f"none-{key}")
        else:
            self.tap(f"type-{key}")
            self.keep_angle(*low, **units)
            self.keep_angle(*high, **units)
        self.wait_for(f"window-{key}", ".shape-done")

    def take_recommended(self) -> str | None:
        """Take the recommended plan; it has to be seen first."""
        if self.shows("see-recommended"):
            self.tap("see-recommended")
        self.wait_for("choose-recommended")
        return self.tap_on("choose-recommended")

    def single_use(self, state: str = "at-hand") -> str | None:
        self.check_all(f'fieldset[data-key^="item-"] input[value="{state}"]')
        return self.tap_on("keep")

    def consent(self, **texts: str) -> str | None:
        """Record the consent; texts: findings, work, price, customer."""
        for name, text in texts.items():
            self.fill(f"consent-{name}", text)
        self.tap("consent-risks-told")
        self.tap("consent-how-signed")
        return self.tap_on("confirm")

    def torque(self, text: str, source: str, unit: str = "nm") -> str | None:
        self.select("torque-unit", unit)
        self.type_keys(text)
        self.fill("torque-source", source)
        return self.tap_on("keep")

    def stop_job(self, reason: str, vehicle: str, awaited: str, key_kept: bool = True) -> None:
        if not self.shows("stop-reason"):
            self.tap_on("stop")
        self.tap(f"stop-reason-{reason}")
        self.tap(f"stop-vehicle-{vehicle}")
        self.fill("stop-awaited", awaited)
        self.tap(f"stop-key-{'kept' if key_kept else 'with-customer'}")
        self.tap("confirm")
        self.wait_for("stopped")
