"""A person without a touch screen: Tab and arrow keys reach every control, Enter, Space and typing work it."""

from pathlib import Path

from app_driver import AppDriver
from playwright.sync_api import expect

_LIMIT_MS = 10_000
_MOST_PRESSES = 80
# How many stops of the Tab key lie between the focus and the wanted control, backwards negative. A group of radio
# buttons is one stop: its chosen button, else its first.
_STOPS = """(selector) => {
  const wanted = document.querySelector(selector);
  const isStop = (node) => {
    if (node.disabled || node.tabIndex < 0 || !node.checkVisibility()) return false;
    if (node.type !== "radio") return true;
    const group = [...document.getElementsByName(node.name)];
    return node === (group.find((each) => each.checked) ?? group[0]);
  };
  const all = document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]");
  const stops = [...all].filter(isStop);
  const goal = stops.findIndex((node) => node === wanted || (wanted.type === "radio" && node.name === wanted.name));
  const here = document.activeElement;
  const at = stops.indexOf(here);
  const before = stops.filter((node) => here.compareDocumentPosition(node) & Node.DOCUMENT_POSITION_PRECEDING).length;
  return goal < 0 ? null : at >= 0 ? goal - at : goal >= before ? goal - before + 1 : goal - before;
}"""
_IS_THERE = """(selector) => {
  const [wanted, here] = [document.querySelector(selector), document.activeElement];
  return here === wanted || (wanted.type === "radio" && here.name === wanted.name);
}"""


class KeyboardPhone(AppDriver):
    """An AppDriver that never points at anything."""

    def _go_to(self, selector: str) -> None:
        """Press Tab, or Shift and Tab, until the control has the focus."""
        expect(self.page.locator(selector).first).to_be_visible(timeout=_LIMIT_MS)
        expect(self.page.locator(selector).first).to_be_enabled(timeout=_LIMIT_MS)
        for _ in range(_MOST_PRESSES):
            if self.page.evaluate(_IS_THERE, selector):
                return
            stops = self.page.evaluate(_STOPS, selector)
            assert stops is not None, f"{selector} cannot be reached by the keyboard"
            for _ in range(max(1, abs(stops))):
                self.page.keyboard.press("Tab" if stops >= 0 else "Shift+Tab")
        raise AssertionError(f"{selector} was not reached in {_MOST_PRESSES} goes")

    def _press(self, selector: str) -> None:
        self._go_to(selector)
        node = self.page.locator(selector).first
        kind = node.get_attribute("type")
        if kind == "radio":
            self._choose_radio(selector)
        else:
            self.page.keyboard.press("Space" if kind == "checkbox" else "Enter")

    def _choose_radio(self, selector: str) -> None:
        """Within a group the arrow keys go from one to the next, and choose it."""
        for _ in range(_MOST_PRESSES):
            if self.page.evaluate("selector => document.activeElement === document.querySelector(selector)", selector):
                break
            self.page.keyboard.press("ArrowDown")
        self.page.keyboard.press("Space")
        expect(self.page.locator(selector)).to_be_checked()

    def tap(self, name: str) -> None:
        self._press(f'[data-key="{name}"]')

    def fill(self, name: str, text: str) -> None:
        self._go_to(f'[data-key="{name}"]')
        self.page.keyboard.press("Control+a")
        self.page.keyboard.insert_text(text)

    def select(self, name: str, value: str) -> None:
        node = self.key(name)
        self._go_to(f'[data-key="{name}"]')
        self.page.keyboard.press("Home")
        for _ in range(_MOST_PRESSES):
            if node.input_value() == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{name} has no option {value}")

    def check_all(self, selector: str) -> None:
        keys = self.page.locator(selector).evaluate_all("nodes => nodes.map((node) => node.dataset.key)")
        for key in keys:
            self._press(f'[data-key="{key}"]')

    def photo(self, file: Path | str, source: str = "camera") -> None:
        before = self.page.locator(".photos img").count()
        with self.page.expect_file_chooser(timeout=_LIMIT_MS) as chooser:
            self.tap(source)
        chooser.value.set_files(file)
        expect(self.page.locator(".photos img")).to_have_count(before + 1, timeout=30_000)
