"""The sheet "Find a pair": it writes no record, shows its plan while one types, and becomes a job with one tap."""

import re

import pytest
from find_walk import READ, WINDOWS, pair_on, read_to_plan
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean
from seeded_phone import SeededPhone
from sheet_driver import SheetDriver

MOST_TAPS = 30  # to a first plan, from opening the program, where the windows are known
_JOBS = f"async () => {PHONE}.jobIds()"
_ENTRIES = f"async (job) => {PHONE}.entries(job)"
_COUNT = """() => {
  window.writes = 0;
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (stores, mode = "readonly", options) {
    if (mode === "readwrite") window.writes += 1;
    return transaction.call(this, stores, mode, options);
  };
}"""


class FindPairPhone(SeededPhone):
    """A phone with ring sets and no job, which opens the program at its list of jobs."""

    def open_program(self) -> SheetDriver:
        if not self.page.is_closed():
            self.page.close()
        self.page = self.context.new_page()
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.goto(f"{self.origin}/")
        self.driver = SheetDriver(self.page)
        self.driver.settle()
        return self.driver

    def to_sheet(self) -> SheetDriver:
        driver = self.open_program()
        driver.tap_on("find-pair")
        driver.wait_for("find-readings")
        return driver

    def type_all(self, cells, prefix="", suffix="") -> None:
        for cell, text, way in cells:
            self.driver.angle(f"{prefix}{cell}{suffix}", text, way)

    def rested(self) -> None:
        """Wait until the draft lies in the store: the mirror of what rests is empty then."""
        self.page.wait_for_function("() => !localStorage.getItem('tapermark.draft.find-pair')")

    def pair(self, side: str, key: str = "plan-table") -> str:
        return pair_on(self.driver, side, key)


@pytest.fixture
def phone(browser, origin):
    phone = FindPairPhone(browser, origin, locale="en-GB")
    yield phone
    phone.close()


def test_a_first_plan_within_thirty_taps_no_record_and_all_of_it_in_a_job(phone):
    """The browser is closed twice in between: with the windows typed, and with a number half typed."""
    driver = phone.to_sheet()
    driver.tap("begin")
    phone.type_all(WINDOWS, "window.")
    phone.rested()

    driver = phone.open_program()
    driver.tap("back") if driver.shows("back") else driver.page.evaluate("location.hash = '#/'")
    driver.settle()
    driver.taps = 0
    plan = read_to_plan(driver)
    assert driver.taps <= MOST_TAPS, driver.taps
    expect(driver.key("windows-fold")).to_contain_text("0.50° to 1.50° top in")
    expect(driver.key("find-plan").locator(".tilt-map-small")).to_have_count(0)
    expect(driver.key("find-maps").locator(".tilt-map-small:visible")).to_have_count(2)
    expect(driver.key("not-asked")).to_be_visible()
    assert not driver.shows("take-plan")
    driver.tap("plan-more")
    driver.tap("choose-sets")
    driver.key("from-set-demo-66").uncheck()
    expect(driver.key("find-plan").locator(".pair-set").first).not_to_contain_text("Demo 66")
    driver.tap("read-again")
    driver.type_keys("1.6")
    phone.rested()
    assert phone.page.evaluate(_JOBS) == []

    driver = phone.open_program()
    assert driver.url.endswith("#/find-pair"), "where it was left"
    expect(driver.key("cell-base.left.camber.2")).to_have_value("1.6")
    fitted = [phone.pair(side) for side in ("left", "right")]
    assert fitted != plan
    driver.taps = 0
    driver.tap_on("become-job")
    assert driver.taps == 1
    assert phone.page.evaluate(_JOBS) == [driver.job]
    entries = phone.page.evaluate(_ENTRIES, driver.job)
    assert [each["kind"] for each in entries].count("job-opened") == 1
    by_slot = {each["slot"]: each for each in entries}
    assert {each["by"] for each in entries} == {"Iris Vance"}
    assert all(re.match(r"\d{4}-\d\d-\d\dT", each["at"]) for each in entries)
    for side, camber in (("left", -1640), ("right", -1720)):
        window = by_slot[f"window.{side}.camber"]["body"]["value"]
        assert (window["low"]["mdeg"], window["high"]["mdeg"]) == (-1500, -500)
        assert by_slot[f"base.{side}.1"]["body"]["camber"]["mdeg"] == camber
    assert by_slot["rings.left-out"]["body"]["value"]["ids"] == ["demo-66"]
    [note] = [each["body"]["text"] for each in entries if each["kind"] == "note-written"]
    assert re.search(r"Typed by Iris Vance, .*20\d\d", note)

    driver.open_sheet(driver.job, "readings")
    expect(driver.key("cell-base.left.camber.2")).to_have_value("1.6")
    driver.open_sheet(driver.job, "plan")
    assert [phone.pair(side) for side in ("left", "right")] == fitted
    driver.page.evaluate("location.hash = '#/find-pair'")
    driver.settle()
    expect(driver.key("begin")).to_be_visible()


@pytest.mark.full
def test_what_is_typed_is_one_write_and_undo_and_other_readings_leave_the_windows(phone):
    driver = phone.to_sheet()
    driver.tap("begin")
    phone.type_all(WINDOWS, "window.")
    phone.rested()
    phone.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
    phone.page.evaluate(_COUNT)
    phone.page.wait_for_timeout(500)
    before = phone.page.evaluate("window.writes")
    driver.aim("base.left.camber.1")
    phone.page.keyboard.type("-1.64")
    phone.page.keyboard.press("Enter")
    phone.rested()
    assert phone.page.evaluate("window.writes") - before == 1
    phone.type_all(READ[1:], "base.", ".1")
    phone.pair("left")
    driver.tap("clear-readings")
    expect(driver.key("cell-base.left.camber.1")).to_have_value("")
    expect(driver.key("windows-fold")).to_contain_text("0.50° to 1.50° top in")
    driver.tap("undo-last")
    expect(driver.key("cell-base.left.camber.1")).to_have_value("1.64")
    phone.pair("left")


@pytest.mark.full
def test_a_job_that_was_broken_off_is_made_whole_and_nothing_is_written_twice(phone):
    driver = phone.to_sheet()
    driver.tap("begin")
    phone.type_all(WINDOWS, "window.")
    phone.type_all(READ, "base.", ".1")
    phone.rested()
    phone.page.evaluate("""() => {
      const { add, put } = IDBObjectStore.prototype;
      let left = 3;
      const refuse = (write) => function (...what) {
        if (this.name === 'entries' && left-- <= 0) throw new DOMException('no', 'DataError');
        return write.apply(this, what);
      };
      Object.assign(IDBObjectStore.prototype, { add: refuse(add), put: refuse(put) });
    }""")
    driver.tap("become-job")
    expect(driver.key("not-saved")).to_be_visible()
    [job] = phone.page.evaluate(_JOBS)
    assert len(phone.page.evaluate(_ENTRIES, job)) == 3
    driver = phone.open_program()
    driver.tap_on("become-job")
    assert driver.job == job
    slots = [each["slot"] for each in phone.page.evaluate(_ENTRIES, job) if "." in each["slot"]]
    assert sorted(slots) == sorted(
        [
            "base.left.1",
            "base.right.1",
            *(f"window.{side}.{part}" for side in ("left", "right") for part in ("camber", "toe")),
        ]
    )


@pytest.mark.full
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_is_clean_and_fits(browser, origin, language):
    phone = FindPairPhone(browser, origin, language=language)
    driver = phone.to_sheet()
    assert_clean(driver, "nothing typed")
    phone.page.set_viewport_size({"width": 360, "height": 740})
    driver.tap("begin")
    phone.type_all(WINDOWS, "window.")
    driver.aim("base.left.camber.1")
    phone.type_all(READ[:1], "base.", ".1")
    phone.type_all(READ[1:], "base.", ".1")
    expect(driver.key("plan-table")).to_be_visible()
    driver.aim("base.right.toe.1")
    phone.page.wait_for_function("""() => {
      const [cell, now] = ['.cell.framed', '.find-now'].map((at) => document.querySelector(at).getBoundingClientRect());
      return cell.bottom <= now.top && cell.top >= 0;
    }""")
    assert_clean(driver, "keypad")
    driver.page.evaluate("document.activeElement.blur()")
    driver.tap_node(driver.page.locator("#main .row-title").last)
    assert_clean(driver, "plan")
    for size in ({"width": 360, "height": 740}, {"width": 800, "height": 1280}):
        phone.page.set_viewport_size(size)
        phone.page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert phone.too_wide() <= 0, size
        phone.page.evaluate("document.documentElement.style.fontSize = ''")
    phone.close()
