"""A person without a touch screen: Tab and arrow keys reach every control, Enter, Space and typing work it."""

from playwright.sync_api import Locator, expect
from sheet_driver import SheetDriver

_LIMIT_MS = 30_000
_MOST_GOES = 40
_MINUS = ("top-in", "out", "left", "less")
# How many stops of the Tab key lie between the focus and the wanted control, backwards negative. "anew": it was drawn
# anew since it was looked for, and is looked for again.
_STOPS = """(wanted) => {
  if (!wanted.isConnected) return "anew";
  const open = document.querySelector("dialog[open]") ?? document;
  const isStop = (node) => !node.disabled && node.tabIndex >= 0 && node.checkVisibility() && !node.closest("[inert]");
  const all = open.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]");
  const stops = [...all].filter(isStop);
  const goal = stops.indexOf(wanted);
  const here = document.activeElement;
  const at = stops.indexOf(here);
  const before = stops.filter((node) => here.compareDocumentPosition(node) & Node.DOCUMENT_POSITION_PRECEDING).length;
  return goal < 0 ? null : at >= 0 ? goal - at : goal >= before ? goal - before + 1 : goal - before;
}"""
_IS_THERE = "(wanted) => document.activeElement === wanted"


class KeyboardPhone(SheetDriver):
    """A SheetDriver that never points at anything."""

    def go_to(self, node: Locator) -> None:
        """Press Tab, or Shift and Tab, until the control has the focus."""
        expect(node).to_be_visible(timeout=_LIMIT_MS)
        expect(node).to_be_enabled(timeout=_LIMIT_MS)
        for _ in range(_MOST_GOES):
            if node.count() == 0:  # the keypad stands in the place of the bar while the way leads through a table
                self.page.keyboard.press("Tab")
                continue
            if node.evaluate(_IS_THERE):
                return
            stops = node.evaluate(_STOPS)
            if stops == "anew":
                continue
            assert stops is not None, f"{node} cannot be reached by the keyboard"
            for _ in range(max(1, abs(stops))):
                self.page.keyboard.press("Tab" if stops >= 0 else "Shift+Tab")
        raise AssertionError(f"{node} was not reached in {_MOST_GOES} goes")

    def tap_node(self, node: Locator) -> None:
        self.go_to(node)
        self.page.keyboard.press("Space" if node.get_attribute("type") == "checkbox" else "Enter")
        self.taps += 1

    def tap(self, name: str) -> None:
        """Press a control; in a field of a table Enter goes on, as the keypad's own key does."""
        if name == "key-next":
            self.page.keyboard.press("Enter")
        else:
            super().tap(name)

    def open_sheet(self, job: str, key: str) -> None:  # noqa: ARG002 - the list is that of the open job
        self.tap("menu")
        self.tap_on(f"sheet-{key}")

    def fill(self, name: str, text: str) -> None:
        self.go_to(self.key(name))
        self.page.keyboard.press("Control+a")
        self.page.keyboard.insert_text(text)

    def text(self, slot: str, text: str, *, enter: bool = False) -> None:
        self.type_into(f"text-{slot}", text, enter=enter)

    def type_into(self, name: str, text: str, *, enter: bool = False) -> None:
        self.go_to(self.key(name))
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter" if enter else "Tab")

    def aim(self, cell: str) -> None:
        self.go_to(self.key(f"cell-{cell}"))

    def type_keys(self, text: str) -> None:
        self.page.keyboard.type(text)

    def number(self, slot: str, text: str) -> None:
        """Enter keeps it and goes on."""
        super().number(slot, text)
        self.page.keyboard.press("Enter")

    def angle(self, cell: str, text: str, way: str | None) -> None:
        """A sign says the way; Enter goes on to the next field."""
        self.aim(cell)
        self.type_keys(f"{'-' if way in _MINUS else '+' if way else ''}{text}")
        self.page.keyboard.press("Enter")

    def hold(self, slot: str) -> None:
        self.tap(f"hold-{slot}")
        expect(self.key(f"confirm-{slot}")).to_be_focused(timeout=_LIMIT_MS)
        self.page.keyboard.press("Enter")
        # Where it was the last of its pause, that has shut and the row is gone.
        expect(self.page.locator(f'[data-key="row-{slot}"]:not([data-state="done"])')).to_have_count(
            0, timeout=_LIMIT_MS
        )

    def select(self, name: str, value: str) -> None:
        node = self.key(name)
        self.go_to(node)
        self.page.keyboard.press("Home")
        for _ in range(node.locator("option").count()):
            if node.input_value() == value:
                return
            self.page.keyboard.press("ArrowDown")
        assert node.input_value() == value, f"{name} has no option {value}"
