"""What one tap costs, counted and not timed: elements whose style is found anew, savings, rows that are drawn again.

A busy machine makes the same tap slower, but none of these larger. How many ms they are, bench_speed says.
"""

import pytest
from tap_trace import CATEGORIES, MARKS, read_taps

pytestmark = pytest.mark.full

# A sheet has 300 to 600 elements, the keypad 60 that come with the first number. One rule of the style sheets that
# concerns every element of a sheet costs more than all the rest.
MOST_RESTYLED = 220
WATCH_ROWS = """() => {
  globalThis.drawnRows = new Set();
  new MutationObserver((changes) => {
    for (const { target } of changes) {
      const row = (target.closest ? target : target.parentElement)?.closest('.sheet-row');
      if (row) globalThis.drawnRows.add(row.dataset.key);
    }
  }).observe(document.querySelector('#main .sheet-body'),
    { subtree: true, childList: true, attributes: true, characterData: true });
}"""


@pytest.fixture
def traced(browser):
    """Return what a phone's taps cost that are made by the function given."""

    def trace(phone, act) -> list:
        phone.page.evaluate("() => {" + MARKS + "}")
        browser.start_tracing(page=phone.page, categories=CATEGORIES)
        try:
            act(phone.driver)
            phone.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        finally:
            trace = browser.stop_tracing()
        return read_taps(trace)

    return trace


@pytest.mark.parametrize(
    ("until", "sheet", "act"),
    [
        ("vehicle.pressures", "condition", lambda driver: driver.tick("vehicle.pressures")),
        ("vehicle.ride-height", "condition", lambda driver: driver.choose("vehicle.ride-height", "right")),
        ("base.readings", "readings", lambda driver: driver.angle("base.left.camber.1", "164", "top-in")),
        ("fit.plates-pinned", "lift", lambda driver: driver.tick("fit.plates-pinned")),
        ("fit.torque", "plan", lambda driver: driver.number("fit.torque.torque", "88")),
    ],
    ids=["tick", "choice", "angle", "tick-at-car", "torque"],
)
def test_an_answer_finds_the_style_of_few_elements_anew(sheets, traced, until, sheet, act):
    taps = traced(sheets(until, sheet), act)
    assert taps
    dear = {tap.name: tap.restyled for tap in taps if tap.restyled > MOST_RESTYLED}
    assert dear == {}, [(tap.name, tap.restyled) for tap in taps]


def test_one_tap_for_several_rows_is_saved_once(sheets, traced):
    rows = [f"vehicle.wear-{wheel}" for wheel in ("rear-left", "rear-right", "front-left", "front-right")]
    phone = sheets(rows[0], "condition")
    taps = traced(phone, lambda driver: driver.together("wear", *rows))
    assert [phone.value(slot) for slot in rows] == ["even"] * 4
    assert sum(tap.savings for tap in taps) == 1  # a tap that the touch guard took none of saved nothing


def test_an_answer_draws_its_own_row_alone(sheets):
    phone = sheets("fit.chocks-away", "down")  # a sheet without cards, which look at the job anew after every answer
    phone.page.evaluate(WATCH_ROWS)
    phone.driver.tick("fit.chocks-away")
    assert phone.page.evaluate("() => [...globalThis.drawnRows]") == ["row-fit.chocks-away"]
