"""A job that is fitted and about to be read again, and what a test does with its proof.

What a wheel would really read is computed by calc, the reference, from rings turned over, turned, or as planned.
"""

from playwright.sync_api import expect
from seeded_phone import RING_SETS, SeededPhone, bolts, reading, windows

from calc.rings.rings import RingSet
from calc.rings.tilt import effect_mdeg, placed_pair

WINDOWS = windows((-1500, -500), (0, 200), (50, 350), (-100, 100), (-500, 500))
BASE = {"left": (-1640, 420), "right": (-1720, 310)}
REMEMBERED = {"base.equipment": "Four heads, checked 2026-01-10", "fit.wrench": "Wrench 3, checked 2026-02-01"}
START = [
    ["vehicle.registration", "field-set", {"value": "QX 41 LTM"}], *WINDOWS, bolts(4, 100),
    ["fit.parts-used", "field-set", {"value": {"hub-bolts": "replaced"}}],
    *([slot, "field-set", {"value": text}] for slot, text in REMEMBERED.items()),
    reading("base.left.1", *BASE["left"]), reading("base.right.1", *BASE["right"]),
]  # fmt: skip
DROOP_DEG = 20  # how far the flange turns towards the rear when it hangs


def rings_of(fitted: dict):
    """Return both rings of a planned pair where they sit."""
    ring_set = RingSet.from_json(next(each for each in RING_SETS if each["id"] == fitted["ring_set"]))
    return placed_pair(ring_set, fitted["pair"])


def read_with(base: tuple[int, int], rings) -> tuple[int, int]:
    """Return what a wheel reads with these rings in, in mdeg, to hundredths of a degree as it is typed."""
    return tuple(round((mdeg + change) / 10) * 10 for mdeg, change in zip(base, effect_mdeg(rings), strict=True))


def is_near(reading, other) -> bool:
    """Tell whether two readings differ by no more than typing to hundredths makes of them."""
    return all(abs(a - b) <= 10 for a, b in zip(reading, other, strict=True))


def plan_of(phone: SeededPhone, number: int) -> dict:
    return next(each["body"] for each in phone.bodies("plan-chosen") if each["slot"] == f"round.{number}.plan")


def fit_once(browser, origin) -> SeededPhone:
    """Return a phone whose job is fitted for the first time, about to be read again, without network."""
    phone = SeededPhone(browser, origin)
    phone.open_job(START)
    phone.work_until("check.readings", pairs=2)
    phone.show("sheet/lift")
    phone.driver.tap("more-rows")
    hanging = phone.driver.row("fit.left.level-hanging")
    hanging.locator('[data-key="level-typed"]').fill(str(DROOP_DEG))
    phone.driver.tap_node(hanging.locator('[data-key="level-to-rear"]'))
    expect(hanging.locator('[data-key="level-kept"]')).to_contain_text(f"{DROOP_DEG}° behind the highest point")
    phone.cut_network()
    return phone


def check(phone: SeededPhone, round_: int, left: tuple, right: tuple) -> None:
    """Type the check readings of a round and see its result."""
    phone.show(f"sheet/{f'round.{round_}.' if round_ > 1 else ''}check")
    phone.read(f"round.{round_}.check", left, right)
    phone.driver.wait_for("result-table")


def first_cause(phone: SeededPhone, side: str):
    return phone.driver.key(f"proof-{side}").locator('[data-key^="cause-"]').first


def say_what_is_true(driver, side: str, code: str) -> None:
    """Answer what the numbers leave open; where they leave no choice it is chosen already."""
    driver.tap(f"true-{side}-{code}")
    see_what_it_gives(driver)


def see_what_it_gives(driver) -> None:
    """Wait for what the next round would give: unseen it is not begun."""
    expect(driver.key("next-round-outcome").locator('[data-key="plan-table"]')).to_be_visible()
    expect(driver.key("start-round")).to_be_visible()


def begin_round(driver) -> None:
    """Begin the next round; its first sheet opens."""
    driver.tap_on("start-round")
    expect(driver.key("result-table")).to_have_count(0)
