"""What is typed and tapped on the phone: refused in plain words, never lost, said until it is saved, there again later.

One phone for the module; every test has a job of its own.
"""

import pytest
from playwright.sync_api import expect
from seeded_phone import SeededPhone

PLATE = "vehicle.registration"
CELL = "base.left.camber.1"
_BREAK_STORE = """() => {
  window.kept = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function put(...given) {
    if (this.name === 'entries') throw new DOMException('full', 'QuotaExceededError');
    return window.kept.apply(this, given);
  };
}"""
_MEND_STORE = "() => { IDBObjectStore.prototype.put = window.kept }"


@pytest.fixture(scope="module")
def phone(browser, origin):
    phone = SeededPhone(browser, origin)
    yield phone
    phone.close()


@pytest.fixture
def driver(phone):
    """The first sheet of a new job."""
    phone.open_job([])
    return phone.show("sheet/vehicle")


def test_a_plate_that_is_too_long_is_refused_in_words_and_stays(phone, driver):
    typed = "A1" * 60
    field = driver.key(f"text-{PLATE}")
    field.fill(typed)
    driver.leave_field()
    expect(driver.row(PLATE)).to_contain_text("120 characters are too many for a registration or a VIN; at most 100")
    assert (field.input_value(), phone.fields(PLATE)) == (typed, [])
    phone.page.wait_for_timeout(400)
    phone.page.reload()
    driver.settle()
    expect(field).to_have_value(typed)  # what is half typed survives the page
    field.fill(typed[:100])
    driver.leave_field()
    driver.wait_state(PLATE)
    assert phone.fields(PLATE) == [typed[:100]]


def test_a_wrong_number_is_refused_and_stays(phone, driver):
    phone.show("sheet/readings")
    cell = driver.key(f"cell-{CELL}")
    for wrong in ("abc", "0.4.2", "1,024,5", "95"):
        driver.aim(CELL)
        cell.fill(wrong)
        driver.tap("way-top-in")
        driver.aim("base.right.camber.1")
        expect(cell).to_have_attribute("aria-invalid", "true")
        expect(driver.cell(CELL)).to_contain_text(wrong)
        assert cell.input_value() == wrong
    assert phone.bodies("reading-taken") == []


def test_not_saved_is_said_until_it_is_saved(phone, driver):
    driver.text(PLATE, "TM 1")
    phone.page.evaluate(_BREAK_STORE)
    driver.leave_field()
    alarm = driver.key("not-saved")
    expect(alarm).to_contain_text("NOT SAVED")
    assert alarm.get_attribute("role") == "alert"
    expect(driver.key(f"text-{PLATE}")).to_have_value("TM 1")
    assert driver.state(PLATE) == "open"
    phone.page.evaluate(_MEND_STORE)
    driver.tap("retry-save")
    expect(alarm).to_have_count(0)
    driver.wait_state(PLATE)
    assert phone.fields(PLATE) == ["TM 1"]


def test_a_tap_that_is_not_saved_does_not_look_answered(phone, driver):
    slot = "vehicle.steering-wheel"
    phone.page.evaluate(_BREAK_STORE)
    driver.tap(f"option-{slot}-straight")
    expect(driver.key("not-saved")).to_contain_text("NOT SAVED")
    expect(driver.key(f"option-{slot}-straight")).to_have_attribute("aria-pressed", "false")
    assert driver.state(slot) == "open"
    phone.page.evaluate(_MEND_STORE)
    driver.tap("retry-save")
    driver.wait_state(slot)


def test_a_job_opens_where_it_was_left_and_keeps_notes(phone, driver):
    phone.show("sheet/condition")
    driver.tap("menu")
    driver.tap_node(driver.key("notes").locator("summary").first)
    driver.key("note").fill("Old welding seam at the left arm")
    driver.tap("keep-note")
    expect(driver.key("notes").locator("li")).to_contain_text("Old welding seam at the left arm (Iris Vance")
    driver.tap("close-list")
    driver.tap_on("back")
    driver.open_job(phone.job)
    expect(driver.page.locator("main h1")).to_have_text("Condition")


def test_stopping_says_why_how_the_vehicle_stands_and_what_is_awaited(phone, driver):
    phone.work_until("fit.chocked", pairs=2)
    phone.show("sheet/lift")
    driver.tap("not-so-fit.chocked")
    driver.tap("end-here")
    driver.stop_job("part-awaited", "together-not-driven", "Longer bolts")
    assert [each["body"] for each in phone.bodies("job-stopped")] == [
        {"reason": "part-awaited", "vehicle_state": "together-not-driven", "awaited": "Longer bolts", "key_kept": True}
    ]
