"""Seven axles from the first reading to the customer's report, tapped on phones of two sizes, light and dark, offline.

The axles are invented; what must come out is what calc, the reference, chooses for the same readings. Steps that are
not the point are done through the store.
"""

from dataclasses import dataclass, field

import pytest
from playwright.sync_api import expect
from seeded_phone import RING_SETS, SeededPhone, windows

from calc.choose.choose import choose

pytestmark = pytest.mark.full

CAMBER, TOE, TOTAL, THRUST, CROSS = (-1500, -500), (0, 200), (50, 350), (-100, 100), (-500, 500)
SMALL, LARGE = (360, 740), (412, 915)


@dataclass
class Axle:
    """Readings in mdeg, (camber, toe); what is advised first; which wheels get rings; how the job ends."""

    left: tuple[int, int]
    right: tuple[int, int]
    advice: set[str]
    pattern: str
    size: tuple[int, int]
    theme: str
    stop: str | None = None
    again: list = field(default_factory=list)


AXLES = {
    "toe only": Axle((-1000, 520), (-1050, 480), set(), "both", SMALL, "light"),
    "camber only": Axle((-2050, 100), (-1950, 110), {"height-or-load"}, "both", LARGE, "dark"),
    "camber and toe": Axle((-1640, 420), (-1250, 310), set(), "both", SMALL, "dark"),
    "out of reach": Axle(
        (-4600, 900), (-1000, 100), {"one-wheel-off", "beyond-usual", "out-of-reach"}, "left", LARGE, "light",
        stop="fix-first",
    ),
    "one side is enough": Axle((-1640, 420), (-1050, 100), set(), "left", SMALL, "light"),
    "skewed": Axle((-1000, 380), (-1000, -180), {"skewed-axle"}, "both", LARGE, "dark", stop="fix-first"),
    "just outside": Axle(
        (-1000, 210), (-1000, 80), {"reread-left"}, "none", SMALL, "dark",
        again=[((-1000, 130), (-1010, 80)), ((-990, 130), (-1000, 90))],
    ),
}  # fmt: skip


def reference(body: dict) -> dict:
    """Return what calc chooses from the recorded input of a plan."""
    used = {each["id"]: each for each in RING_SETS}
    return choose(body["input"] | {"ring_sets": [used[name] for name in body["input"]["ring_sets"]]})


def read_and_choose(phone: SeededPhone, axle: Axle) -> dict:
    """Read both wheels, see the advice, read again where that is advised; take the recommended plan."""
    driver = phone.show("sheet/readings")
    phone.cut_network()
    phone.read("base", axle.left, axle.right)
    assert phone.too_wide() <= 0
    phone.work_until("choose.advice")
    phone.show("sheet/plan")
    driver.wait_for("plan-table")
    assert set(driver.advice) == axle.advice
    if axle.again:
        phone.show("sheet/readings")
        for n, (left, right) in enumerate(axle.again, 2):
            driver.tap("read-again")
            phone.read("base", left, right, n)
        phone.show("sheet/plan")
        driver.wait_for("plan-table")
    for code in driver.advice:
        assert not driver.shows("take-plan"), "advice that is not answered lets no plan be taken"
        driver.answer_advice(code)
    assert phone.too_wide() <= 0
    driver.tap("take-plan")
    driver.wait_for("chosen")
    return phone.bodies("plan-chosen")[-1]["body"]


def fit_and_check(phone: SeededPhone, plan: dict) -> None:
    """Do the work through the store, then read what was predicted and see the result."""
    if plan["pairs"] == 0:
        return
    phone.work_until("check.readings")
    driver = phone.show("sheet/check")
    predicted = plan["predicted"]
    phone.read("round.1.check", tuple(predicted["left"]), tuple(predicted["right"]))
    driver.wait_for("result-table")
    for side in ("left", "right"):
        if plan[side]:
            expect(driver.key(f"as-planned-{side}")).to_be_visible()
    assert phone.too_wide() <= 0


def close(phone: SeededPhone, stop: str | None) -> None:
    if stop:
        driver = phone.show("stop")
        driver.stop_job(stop, "as-it-came", "A new axle bush")
    else:
        phone.work_until("finish.sign")
        driver = phone.show("sheet/finish")
        driver.tap("sign-now")
        driver.wait_for("to-start")
    phone.show("report")


@pytest.mark.parametrize("name", AXLES)
def test_an_axle_from_reading_to_report(browser, origin, name):
    axle = AXLES[name]
    phone = SeededPhone(browser, origin, *axle.size, theme=axle.theme)
    facts = windows(CAMBER, TOE, TOTAL, THRUST, CROSS)
    phone.open_job([["vehicle.registration", "field-set", {"value": "QX 41 LTM"}], *facts])
    phone.work_until("base.readings")

    body = read_and_choose(phone, axle)
    expected = reference(body)
    assert body["plan"] == expected["plans"][0]
    assert body["recommended"] is True
    if not axle.again:
        assert set(expected["advice"]) == axle.advice
    fitted = [side for side in ("left", "right") if body["plan"][side]]
    assert fitted == {"both": ["left", "right"], "none": []}.get(axle.pattern, [axle.pattern])

    if not axle.stop:
        fit_and_check(phone, body["plan"])
    close(phone, axle.stop)
    report = phone.driver.key("report")
    expect(report.locator('[data-key="report-angles"] tr').nth(1)).to_contain_text(f"{abs(axle.left[0]) / 1000:.2f}°")
    expect(report.locator('[data-key="report-measured"]')).to_contain_text(
        "does not say that the vehicle is roadworthy"
    )
    expect(report.locator('[data-key="report-state"]')).to_contain_text(
        "stopped" if axle.stop else "Signed by Iris Vance"
    )
    assert phone.too_wide() <= 0
    phone.close()
