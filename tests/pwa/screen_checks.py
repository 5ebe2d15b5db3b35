"""What every screen of the phone has to hold, measured in the page: names, contrast, targets, reflow, words."""

import re

from app_driver import AppDriver, open_app

from tests.accessibility import violations

TARGET_PX = 56
GAP_PX = 8
WIDTHS = (360, 320)
THEMES = ("light", "dark", "contrast")
PHONE = "(await (await import('/js/store/phone.js')).openPhone())"  # the store, in scripts run in the page
# wait_for_function takes the promise of an async condition for its truth, so this one waits by itself
_RING_SETS_HERE = f"""async () => {{
  const phone = {PHONE};
  const limit = performance.now() + 30_000;
  while ((await phone.ringSets()).length < 3) {{
    if (performance.now() > limit) throw new Error("expected three ring sets on the phone within 30 s");
    await new Promise(requestAnimationFrame);
  }}
}}"""
_SETTING_KEPT = f"""async ([name, value]) => {{
  const phone = {PHONE};
  const limit = performance.now() + 30_000;
  for (let kept; JSON.stringify(kept) !== JSON.stringify(value); kept = await phone.setting(name)) {{
    if (performance.now() > limit) throw new Error(`expected ${{name}} as ${{value}} within 30 s, found ${{kept}}`);
    await new Promise(requestAnimationFrame);
  }}
}}"""
_RULES = {"rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}}

# Boxes of what can be pressed or typed in: [key, left, top, width, height, part of the screen that scrolls by itself].
_CONTROLS = """() => {
  const inputs = 'input:not([type=radio]):not([type=checkbox])';
  const kinds = `button, select, summary, label.choice, label.cell, textarea, ${inputs}`;
  const isPart = (node) => node.localName !== 'label' && node.closest('label.cell'); // the whole cell takes the tap
  const isMeant = (node) => node.checkVisibility() && !node.closest('.hidden-text, .drawing') && !isPart(node);
  const open = document.querySelector('dialog[open]') ?? document; // what stands under a dialog takes no tap
  return [...open.querySelectorAll(kinds)].filter(isMeant).map((node) => {
    const { left, top, width, height } = node.getBoundingClientRect();
    const part = node.closest('header, main, #bar')?.id ?? '';
    return [node.dataset.key ?? node.textContent.trim().slice(0, 30), left, top, width, height, part];
  });
}"""
_OVERFLOW = """() => [document.documentElement, document.getElementById('main')]
  .filter((node) => node.scrollWidth > node.clientWidth).map((node) => node.tagName)"""


def open_ready(context, url: str) -> AppDriver:
    """Open Tapermark and wait until the three ring sets of the demo shop are on the phone."""
    driver = open_app(context, url)
    driver.page.evaluate(_RING_SETS_HERE)
    return driver


def go(driver: AppDriver, address: str) -> None:
    """Open an address of the phone and wait until its screen is drawn."""
    driver.page.evaluate("address => { location.hash = address }", address)
    driver.settle()


def newest_body(driver: AppDriver, job: str, slot: str) -> dict:
    """Return the body of the newest entry of a slot."""
    entries = driver.page.evaluate(f"async (job) => {PHONE}.entries(job)", job)
    return max((entry for entry in entries if entry["slot"] == slot), key=lambda entry: entry["n"])["body"]


def wait_for_setting(page, name: str, value) -> None:
    """Wait until the store holds what was chosen: a page that goes before that takes it along."""
    page.evaluate(_SETTING_KEPT, [name, value])


def assert_clean(driver: AppDriver, name: str) -> None:
    """Assert what holds for every screen, in light, dark and high contrast, at every width."""
    page = driver.page
    missing = re.findall(r"\[[\w.-]+\.[\w.-]+\]", page.inner_text("body"))
    assert not missing, f"{name}: texts missing: {missing}"
    chosen = page.evaluate("document.documentElement.dataset.theme")
    for theme in THEMES:
        page.evaluate("theme => { document.documentElement.dataset.theme = theme }", theme)
        found = violations(page, _RULES)
        assert not found, f"{name}, {theme}: {[(v['id'], [n['html'][:120] for n in v['nodes']]) for v in found]}"
    page.evaluate("theme => { document.documentElement.dataset.theme = theme }", chosen)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 740})
        assert not page.evaluate(_OVERFLOW), f"{name}: scrolls sideways at {width} px"
        controls = page.evaluate(_CONTROLS)
        assert controls, f"{name}: nothing to press"
        small = [control for control in controls if min(control[3:5]) < TARGET_PX - 0.5]
        assert not small, f"{name}: smaller than {TARGET_PX} px at {width} px: {small}"
        close = _too_close(controls)
        assert not close, f"{name}: closer than {GAP_PX} px at {width} px: {close}"


def _too_close(controls: list) -> list:
    """Return the pairs of neighbours with less than the gap between them."""
    pairs = []
    for at, (key, left, top, width, height, part) in enumerate(controls):
        for other, left2, top2, width2, height2, part2 in controls[at + 1 :]:
            across = max(left2 - (left + width), left - (left2 + width2))
            down = max(top2 - (top + height), top - (top2 + height2))
            if part == part2 and max(across, down) < GAP_PX - 0.5:
                pairs.append((key, other, round(max(across, down), 1)))
    return pairs
