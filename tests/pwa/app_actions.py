"""What a person does with the phone's screens, in whatever browser: taps, typed figures, whole panels.

Controls are found by their stable `data-key`. A driver of one browser gives the few ways to reach them; nothing here
knows the browser, a store or a server.
"""

import re
from abc import ABC, abstractmethod
from pathlib import Path

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
    def tap_on(self, name: str) -> None:
        """Tap what leads to another screen and wait until that is drawn."""

    @abstractmethod
    def fill(self, name: str, text: str) -> None:
        """Put a text into a field, instead of what it holds."""

    @abstractmethod
    def select(self, name: str, value: str) -> None:
        """Choose an option of a select element."""

    @abstractmethod
    def photo(self, file: Path | str, source: str = "camera") -> None:
        """Take a photo; `source` is camera or gallery. Returns when it is kept."""

    # Where things are

    @property
    def job(self) -> str | None:
        found = re.search(r"#/job/([^/]+)", self.url)
        return found[1] if found else None

    def type_keys(self, text: str) -> None:
        """Type on the in-page keypad; a comma or point taps the decimal mark's key."""
        for character in text:
            self.tap(f"key-{_KEYS.get(character, character)}")

    # Jobs

    def name_technician(self, name: str = TECHNICIAN) -> None:
        self.fill("technician", name)
        self.tap("keep-name")
        self.wait_for("new-job")

    def new_job(self) -> str:
        """Open a new job; returns its id, with its first sheet open."""
        self.tap_on("new-job")
        self.wait_for("strip")
        return self.job

    def stop_job(self, reason: str, vehicle: str, awaited: str, key: str = "kept") -> None:
        """Stop the job on the stop screen that is open."""
        self.tap(f"reason-{reason}")
        self.tap(f"vehicle_state-{vehicle}")
        self.fill("stop-awaited", awaited)
        self.tap(f"key_kept-{key}")
        self.tap("stop-now")
        self.wait_for("stopped")
