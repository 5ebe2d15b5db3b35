"""Works a job on its sheets as a person does, and counts: each tap, each key of the keypad, a longer choice as two.

Characters on the system's keyboard are counted apart. A tap that the touch guard takes none of is made again and not
counted: a person would have waited.
"""

import re

from app_driver import AppDriver
from playwright.sync_api import Locator, expect

CAME_MS = 700  # as long as the touch guard wants a target to stand still
PRESS_MS = 800
_LIMIT_MS = 30_000
# A row of a pause that has shut is not there any more.
_IS_DONE = """(key) => {
  const row = document.querySelector(`[data-key="${key}"]`);
  return !row || row.dataset.state === "done";
}"""
_NEXT_PICTURE = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
_TOOK_NONE = "() => Number(document.getElementById('main').dataset.tookNone ?? 0)"


class SheetDriver(AppDriver):
    """One page with the sheets of a job; rows are named by their slots."""

    def __init__(self, page):
        super().__init__(page)
        self.taps = 0
        self.typed = 0

    # Where things are

    def row(self, slot: str) -> Locator:
        return self.key(f"row-{slot}")

    def state(self, slot: str) -> str:
        return self.row(slot).get_attribute("data-state")

    def wait_state(self, slot: str, state: str = "done") -> None:
        expect(self.row(slot)).to_have_attribute("data-state", state, timeout=_LIMIT_MS)

    @property
    def sheet(self) -> str | None:
        found = re.search(r"/sheet/([^/]+)", self.page.url)
        return found and found[1]

    def open_sheet(self, job: str, key: str) -> None:
        """Open a sheet by its address."""
        self.page.evaluate("hash => { location.hash = hash }", f"#/job/{job}/sheet/{key}")
        self.settle()

    # Taps

    def tap(self, name: str) -> None:
        self.tap_node(self.key(name).first)

    def tap_node(self, node: Locator) -> None:
        """Tap; where the touch guard takes none, wait as it asks and tap again."""
        for _ in range(6):
            before = self.page.evaluate(_TOOK_NONE)
            node.click(timeout=_LIMIT_MS)
            if self.page.evaluate(_TOOK_NONE) == before:
                self.taps += 1
                return
            self.page.wait_for_timeout(CAME_MS)
        raise AssertionError(f"{node} took no tap")

    def next(self) -> None:
        """The main button."""
        self.tap("next")

    # Answers

    def tick(self, slot: str) -> None:
        self.tap(f"tick-{slot}")
        self.page.wait_for_function(_IS_DONE, arg=f"row-{slot}", timeout=_LIMIT_MS)

    def together(self, group: str, *slots: str) -> None:
        """Answer what is still open of a group with the one tap that stands beneath it."""
        self.tap(f"together-{group}")
        for slot in slots:
            self.page.wait_for_function(_IS_DONE, arg=f"row-{slot}", timeout=_LIMIT_MS)

    def hold(self, slot: str) -> None:
        """Press a hold until its edge has filled: one tap; where the touch guard takes none, as it asks, again."""
        for _ in range(6):
            before = self.page.evaluate(_TOOK_NONE)
            self.press(slot, PRESS_MS)
            if self.page.evaluate(_TOOK_NONE) == before:
                break
        self.taps += 1
        # A hold that ends its pause takes its row away.
        self.page.wait_for_function(_IS_DONE, arg=f"row-{slot}", timeout=_LIMIT_MS)

    def press(self, slot: str, duration_ms: int, drift_px: int = 0) -> None:
        """Put the finger on the card of a hold and lift it after a while, perhaps a little further on."""
        grip = self.key(f"hold-{slot}")
        grip.scroll_into_view_if_needed(timeout=_LIMIT_MS)
        self.page.wait_for_timeout(CAME_MS)
        box = grip.bounding_box()
        x, y = box["x"] + 30, box["y"] + box["height"] / 2
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.wait_for_timeout(duration_ms // 2)
        self.page.mouse.move(x, y - drift_px)
        self.page.wait_for_timeout(duration_ms // 2)
        self.page.mouse.up()

    def choose(self, slot: str, option: str) -> None:
        """Answer a choice; one that opens under its row takes two taps, also where the main button has opened it."""
        option_key = f"option-{slot}-{option}"
        either = self.page.locator(f'[data-key="{option_key}"]:visible, [data-key="open-{slot}"]:visible')
        either.first.wait_for(timeout=_LIMIT_MS)
        if not self.shows(option_key):
            self.tap(f"open-{slot}")
        self.tap(option_key)
        self.page.wait_for_function(_IS_DONE, arg=f"row-{slot}", timeout=_LIMIT_MS)

    def text(self, slot: str, text: str, *, enter: bool = False) -> None:
        """Type on the system's keyboard; it is kept on leaving the field, or by Enter, which leads on."""
        self._type_into(f"text-{slot}", text, enter=enter)

    def _type_into(self, name: str, text: str, *, enter: bool) -> None:
        self.page.evaluate(_NEXT_PICTURE)  # the field may get the focus by itself in the next one
        if not self.key(name).evaluate("node => node === document.activeElement"):
            self.tap(name)
        self.page.keyboard.type(text)
        self.typed += len(text)
        if enter:
            self.page.keyboard.press("Enter")
            self.page.wait_for_function("key => document.activeElement.dataset.key !== key", arg=name)
            self.typed += 1

    def leave_field(self) -> None:
        self.page.evaluate("() => document.activeElement.blur()")

    def number(self, slot: str, text: str) -> None:
        """Type a plain number into its cell; it is kept on going on."""
        self.aim(slot)
        self.type_keys(text)

    def aim(self, cell: str) -> None:
        """Frame a cell, unless it is; the keypad may come by itself in the next picture."""
        self.page.evaluate(_NEXT_PICTURE)
        if "framed" not in self.cell(cell).get_attribute("class").split():
            self.tap_node(self.cell(cell))

    def cell(self, name: str) -> Locator:
        return self.page.locator("label.cell", has=self.key(f"cell-{name}"))

    def angle(self, cell: str, text: str, way: str | None) -> None:
        """Type one angle; the way key keeps it and frames the next field."""
        self.aim(cell)
        self.type_keys(text)
        if way:
            self.tap(f"way-{way}")

    def select(self, name: str, value: str) -> None:
        """Choose an option of a select element: two taps, one to open it and one to choose."""
        self.key(name).focus()
        super().select(name, value)
        self.taps += 2

    def type_into(self, name: str, text: str, *, enter: bool = False) -> None:
        """Type into a field of a card on the system's keyboard."""
        self._type_into(name, text, enter=enter)

    def photograph(self, slot: str, file) -> None:
        """Take a photo for a row: the camera's key and its shutter."""
        row = self.row(slot)
        with self.page.expect_file_chooser(timeout=_LIMIT_MS) as chooser:
            self.tap_node(row.locator('[data-key="camera"]').first)
        chooser.value.set_files(file)
        self.taps += 1
        self.wait_state(slot)

    # The plan sheet

    @property
    def advice(self) -> list[str]:
        """Codes of the advice that stands over the plan."""
        keys = self.page.locator('[data-key^="advice-"]').evaluate_all("nodes => nodes.map(node => node.dataset.key)")
        return [key.removeprefix("advice-") for key in keys if key != "advice-first"]

    def answer_advice(self, code: str) -> None:
        if self.shows(f"stays-{code}"):
            self.tap(f"stays-{code}")
            expect(self.key(f"stays-{code}")).to_have_attribute("aria-pressed", "true", timeout=_LIMIT_MS)
        else:
            self.type_into(f"looked-{code}", "Looked: sound", enter=True)
            self.wait_for(f"answered-{code}")

    def pair(self, slot: str) -> list[str]:
        """The two marks that the row names with which the rings are put in."""
        return re.search(r"(\d+)\D+(\d+)", self.row(slot).locator(".row-method").inner_text()).groups()
