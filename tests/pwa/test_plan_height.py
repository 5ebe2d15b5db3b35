"""The Plan sheet on a small phone: advice, plan and both maps in two screen heights, what comes later under them."""

import pytest
from screen_checks import assert_clean
from seeded_phone import DESCRIPTION, READ, WINDOWS, SeededPhone, reading

TWO_SCREENS_PX = 1480  # 2 x 740
# Readings, and the advice that they bring: with two the sheet is as high as it usually gets.
CASES = [
    (READ, ["height-or-load"]),
    ([reading("base.left.1", -2600, 900), reading("base.right.1", -1000, 205)], ["reread-right", "one-wheel-off"]),
]
_MEASURED = """() => {
  const box = (node) => node.getBoundingClientRect();
  const maps = [...document.querySelectorAll('.tilt-map-small')].map(box);
  return {
    height: Math.max(...maps.map(({ bottom }) => bottom)) - box(document.querySelector('[data-key^="advice-"]')).top,
    beside: maps[0].top === maps[1].top && maps[0].right <= maps[1].left,
    rows: [...document.querySelectorAll('.sheet-row')].filter((row) => row.checkVisibility()).map((r) => r.dataset.key),
    others: document.querySelector('[data-key="other-plans"]').parentElement.open,
  };
}"""


@pytest.mark.parametrize("language", ["en", pytest.param("es", marks=pytest.mark.full)])
def test_advice_plan_and_both_maps_stand_in_two_screens(browser, origin, language):
    phone = SeededPhone(browser, origin, language=language)
    for read, advice in CASES:
        phone.open_job([DESCRIPTION, *WINDOWS, *read])
        phone.work_until("choose.advice", pairs=2)
        driver = phone.show("sheet/plan")
        driver.wait_for("plan-table")
        driver.wait_for("other-plans")
        assert driver.advice == advice
        measured = phone.page.evaluate(_MEASURED)
        assert measured["height"] <= TWO_SCREENS_PX, (advice, measured)
        assert measured["beside"]
        assert not measured["others"], "other plans are folded"
        order = ["choose.advice", "round.1.plan", "choose.maps", "choose.other-plans"]
        assert measured["rows"][:4] == [f"row-{slot}" for slot in order]
        assert phone.too_wide() <= 0
    driver.tap("other-plans")
    assert_clean(driver, "plan with its other plans")
    phone.close()
