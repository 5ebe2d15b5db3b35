"""Rings at hand on the phone: chosen from first, taken from, what an order would gain; a count holds nothing up."""

import pytest
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, wait_for_setting
from seeded_phone import DESCRIPTION, SeededPhone, bolts, reading, windows

pytestmark = pytest.mark.full

PLACES = [{"id": "van", "name": "Van 2"}, {"id": "store", "name": "Store"}]
WINDOWS = windows((-1500, -500), (0, 200), (50, 350), (-100, 100), (-500, 500))
FAR = [reading("base.left.1", -2750, 420), reading("base.right.1", -1720, 310)]  # out of reach of Demo 54
READ = [reading("base.left.1", -1640, 420), reading("base.right.1", -1720, 310)]
NAME = "Demo 66, unlike rings"
FROM, LEFT_OUT = "finish.rings-from", "rings.left-out"
_COME = f"""async ([list, place]) => {{
  const phone = {PHONE};
  await (await phone.lines()).keepList("at-hand", list);
  if (place !== null) await phone.setSetting("rings_place", place);
}}"""


class AtHandPhone(SeededPhone):
    def counts(self, place="van", **pairs):
        """Let the shop's counts come: ring set id (with an underscore) -> pairs in the van."""
        counts = [{"place": "van", "ring_set": name.replace("_", "-"), "pairs": n} for name, n in pairs.items()]
        self.page.goto(f"{self.origin}/tests/run.html")
        self.page.evaluate(_COME, [{"places": PLACES, "counts": counts}, place])

    def begin(self, read) -> str:
        """Open a job that stands at its plan."""
        self.page.goto(f"{self.origin}/tests/run.html")
        job = self.open_job([DESCRIPTION, *WINDOWS, bolts(), *read])
        assert self.work_until("round.1.plan") == "round.1.plan"
        return job

    def plan_sheet(self):
        driver = self.show("sheet/plan")
        driver.wait_for("plan-table")
        return driver

    def chosen(self):
        return self.bodies("plan-chosen")[-1]["body"]


@pytest.fixture
def open_phone(browser, origin):
    made = []

    def with_readings(read):
        made.append(AtHandPhone(browser, origin, locale="en-GB"))
        made[-1].begin(read)
        return made[-1]

    yield with_readings
    for phone in made:
        phone.close()


@pytest.fixture
def p(open_phone):
    return open_phone(READ)


def test_where_nothing_is_known_nothing_is_said(p):
    driver = p.plan_sheet()
    expect(p.page.locator('[data-key^="at-hand-"]')).to_have_count(0)
    driver.tap("take-plan")
    driver.wait_for("chosen")
    assert p.fields(FROM) == []
    assert {"demo-54", "demo-66"} <= set(p.chosen()["input"]["ring_sets"])


def test_what_is_here_is_chosen_from_and_the_taken_plan_names_the_place(p):
    p.counts(demo_66=4)
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 4")
    driver.tap("take-plan")
    driver.wait_for("chosen")
    assert p.chosen()["input"]["ring_sets"] == ["demo-66"]
    assert p.fields(FROM) == [{"place": "van"}]
    p.counts(demo_40=9)
    driver = p.plan_sheet()
    driver.wait_for("chosen")
    expect(driver.key("plan-stale")).to_have_count(0)
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}: none in Van 2, to be ordered or fetched")


def test_what_an_order_would_gain_is_said_and_one_tap_chooses_from_all(open_phone):
    p = open_phone(FAR)
    p.counts(demo_54=2)
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-54")).to_contain_text("pairs in Van 2: 2")
    gain = driver.key("to-order")
    expect(gain).to_contain_text(f"With {NAME}, to be ordered or fetched: Everything predicted inside (all")
    assert_clean(driver, "rings at hand")
    driver.tap("choose-from-all")
    expect(gain).to_have_count(0)
    expect(p.page.locator('[data-key="plan"] [data-key^="at-hand-"]').first).to_contain_text("none in Van 2")
    assert p.fields(LEFT_OUT) == [{"ids": []}]


def test_a_count_that_is_too_small_or_cannot_be_is_said_and_holds_nothing_up(p):
    p.counts(demo_66=1)
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 1; the plan takes 2")
    p.counts(demo_40=-1, demo_54=-2, demo_66=-3)
    driver = p.plan_sheet()
    expect(p.page.locator('[data-key="plan"] [data-key^="at-hand-"]').first).to_contain_text("which cannot be")
    driver.tap("take-plan")
    driver.wait_for("chosen")


def test_two_open_jobs_that_plan_the_last_pairs_are_both_told_and_neither_is_held_up(p):
    p.counts(demo_66=2)
    first = p.job
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 2")
    driver.tap("take-plan")
    driver.wait_for("chosen")
    second = p.begin(READ)
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 2; an open job takes 2")
    assert_clean(driver, "rings that an open job takes")
    driver.tap("take-plan")
    driver.wait_for("chosen")
    p.job = first
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 2; an open job takes 2")
    assert first != second
    p.counts(demo_66=5)
    driver = p.plan_sheet()
    expect(driver.key("at-hand-demo-66")).to_have_text(f"{NAME}, pairs in Van 2: 5; an open job takes 2")


def test_a_person_may_say_that_the_rings_come_from_elsewhere(p):
    p.counts(demo_66=4)
    driver = p.plan_sheet()
    driver.tap("plan-more")
    driver.select("rings-from", "store")
    expect(p.page.locator('[data-key="plan"] [data-key^="at-hand-"]').first).to_contain_text("none in Store")
    assert p.fields(FROM) == [{"place": "store"}]
    driver.tap("take-plan")
    driver.wait_for("chosen")
    assert p.fields(FROM) == [{"place": "store"}]


def test_settings_ask_once_where_this_phone_works(p):
    p.counts(place=None, demo_66=4)
    p.page.goto(f"{p.origin}/#/settings")
    p.driver.settle()
    expect(p.driver.key("rings-place-van")).not_to_be_checked()
    p.driver.key("rings-place-van").check(force=True)
    wait_for_setting(p.page, "rings_place", "van")
    p.page.reload()
    p.driver.settle()
    expect(p.driver.key("rings-place-van")).to_be_checked()
    assert_clean(p.driver, "settings")
