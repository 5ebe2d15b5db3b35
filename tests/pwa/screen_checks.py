"""What every screen of the phone has to hold, measured in the page: names, contrast, targets, reflow, words."""

import re
from pathlib import Path

from app_driver import AppDriver, open_app
from axe_playwright_python.sync_playwright import Axe

TARGET_PX = 56
GAP_PX = 8
WIDTHS = (360, 320)
THEMES = ("light", "dark", "contrast")
_WALKER = Path(__file__).parent / "job-walker.js"
_WALK = """async (until) => {
  const { openJob, workUntil } = await import("/tests/job-walker.js");
  const job = await openJob([]);
  return { job, next: await workUntil(job, until, { pairs: 2 }) };
}"""
_AXE = Axe()
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
_RULES = {"rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}}

# Boxes of what can be pressed or typed in: [key, left, top, width, height, part of the screen that scrolls by itself].
_CONTROLS = """() => {
  const kinds = 'button, select, summary, label.choice, textarea, input:not([type=radio]):not([type=checkbox])';
  const isMeant = (node) => node.checkVisibility() && !node.closest('.hidden-text, .drawing');
  return [...document.querySelectorAll(kinds)].filter(isMeant).map((node) => {
    const { left, top, width, height } = node.getBoundingClientRect();
    const part = node.closest('header, main, #bar')?.id ?? '';
    return [node.dataset.key ?? node.textContent.trim().slice(0, 30), left, top, width, height, part];
  });
}"""
# What a screen with a keypad hides of it, in pixels: above its number or below its last row; null where there is none.
_HIDDEN_KEYS = """() => {
  const main = document.getElementById('main');
  main.scrollTop = 0;
  const boxOf = (node) => node?.getBoundingClientRect();
  const [view, number, keypad] = [main, main.querySelector('.angle-shown'), main.querySelector('.keypad')].map(boxOf);
  return keypad ? Math.max(0, view.top - number.top, keypad.bottom - view.bottom) : null;
}"""
_OVERFLOW = """() => [document.documentElement, document.getElementById('main')]
  .filter((node) => node.scrollWidth > node.clientWidth).map((node) => node.tagName)"""


def seed_job(driver: AppDriver, until: str | None) -> str:
    """Save a job up to the step with slot `until` through the product's own store; returns the job's id."""
    driver.page.route("**/tests/job-walker.js", lambda route: route.fulfill(path=_WALKER))  # no part of the product
    seeded = driver.page.evaluate(_WALK, until)
    assert seeded["next"] == until
    return seeded["job"]


def open_ready(context, url: str) -> AppDriver:
    """Open Tapermark and wait until the three ring sets of the demo shop are on the phone."""
    driver = open_app(context, url)
    driver.page.evaluate(_RING_SETS_HERE)
    return driver


def go(driver: AppDriver, address: str) -> None:
    """Open an address of the phone and wait until its screen is drawn."""
    driver.page.evaluate("address => { location.hash = address }", address)
    driver.settle()


def open_step(driver: AppDriver, until: str, slot: str | None = None) -> str:
    """Open a step of a fresh job that is done up to `until`; returns the job's id."""
    job = seed_job(driver, until)
    go(driver, f"#/job/{job}/step/{slot or until}")
    return job


def newest_body(driver: AppDriver, job: str, slot: str) -> dict:
    """Return the body of the newest entry of a slot."""
    entries = driver.page.evaluate(f"async (job) => {PHONE}.entries(job)", job)
    return max((entry for entry in entries if entry["slot"] == slot), key=lambda entry: entry["n"])["body"]


def assert_clean(driver: AppDriver, name: str) -> None:
    """Assert what holds for every screen, in light, dark and high contrast, at every width."""
    page = driver.page
    missing = re.findall(r"\[[\w.-]+\.[\w.-]+\]", page.inner_text("body"))
    assert not missing, f"{name}: texts missing: {missing}"
    chosen = page.evaluate("document.documentElement.dataset.theme")
    for theme in THEMES:
        page.evaluate("theme => { document.documentElement.dataset.theme = theme }", theme)
        found = _AXE.run(page, options=_RULES).response["violations"]
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
    for width, height in ((320, 640), (360, 740)):
        page.set_viewport_size({"width": width, "height": height})
        hidden = page.evaluate(_HIDDEN_KEYS)
        assert hidden is None or hidden < 1, f"{name}: {hidden} px of number and keypad hidden at {width} x {height} px"


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
