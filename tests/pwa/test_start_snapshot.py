"""The list of jobs stands before the program does: drawn as it was last, and a tap on it is kept."""

import pytest
from playwright.sync_api import expect
from seeded_phone import SeededPhone

JOB = [["vehicle.registration", "field-set", {"value": "QX 41 LTM"}]]
PROGRAM = "**/js/main.js"
# Where the phone is, is kept beside what it shows, and not waited for.
PLACE_IS_KEPT = """async () => {
  const phone = await (await import("/js/store/phone.js")).openPhone();
  const limit = performance.now() + 30_000;
  while (await phone.setting("place") !== location.hash) {
    if (performance.now() > limit) throw new Error(`expected ${location.hash} to be kept within 30 s`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}"""


class SlowPhone(SeededPhone):
    """A phone whose program comes only when it is let come."""

    def start_again(self) -> None:
        held = []
        self.page.goto(f"{self.origin}/tests/run.html")
        self.page.route(PROGRAM, lambda route: held.append(route))
        self.page.goto(self.origin, wait_until="commit")
        while not held:
            self.page.evaluate("() => new Promise(requestAnimationFrame)")
        self.let_come = lambda: held.pop().continue_()

    def wait_place(self, part: str) -> None:
        self.page.wait_for_function("part => document.getElementById('main').dataset.place?.endsWith(part)", arg=part)


@pytest.fixture
def phone(browser, origin):
    """A slow phone that has shown its list of jobs."""
    phone = SlowPhone(browser, origin)
    phone.open_job(JOB)
    phone.page.goto(origin)
    expect(phone.driver.key(f"job-{phone.job}")).to_be_visible()
    phone.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
    yield phone
    phone.context.close()


def test_the_list_stands_before_the_program_and_a_tap_is_kept(phone):
    phone.start_again()
    card = phone.driver.key(f"job-{phone.job}")
    expect(card).to_contain_text("QX 41 LTM")
    expect(phone.driver.key("new-job")).to_be_enabled()
    assert phone.page.locator("[data-ready]").count() == 0  # what the program finds out is not claimed before it did
    card.click()
    phone.let_come()
    phone.wait_place(f"#/job/{phone.job}")
    expect(phone.driver.key("text-vehicle.registration")).to_have_value("QX 41 LTM")
    assert phone.errors == []


@pytest.mark.full
def test_how_the_store_and_the_shop_stand_is_not_said_before_the_program_has_looked(phone):
    """The storage may have been emptied since, and what was to be sent is gone or has been sent."""
    expect(phone.driver.key("unsent")).to_contain_text("Not sent")
    phone.start_again()
    expect(phone.driver.key("unsent")).to_have_text("Looking what is not sent")
    expect(phone.driver.key("ready")).to_have_text("Looking whether this phone is ready without network")
    expect(phone.driver.key("sync")).to_have_text("Looking for the shop's server.")
    phone.let_come()
    expect(phone.driver.key("unsent")).to_contain_text("Not sent")


@pytest.mark.full
def test_a_list_without_a_job_is_not_drawn(browser, origin):
    phone = SlowPhone(browser, origin)
    phone.page.goto(origin)
    expect(phone.driver.key("unsent")).to_have_text("Nothing waits to be sent")
    phone.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
    phone.start_again()
    assert phone.page.locator("[data-key]").count() == 0
    phone.let_come()
    phone.context.close()


@pytest.mark.full
def test_the_program_draws_over_the_list(phone):
    phone.start_again()
    phone.let_come()
    phone.wait_place("#/")
    assert phone.driver.key(f"job-{phone.job}").count() == 1
    expect(phone.driver.key("new-job")).to_be_enabled()


def test_a_program_that_cannot_start_says_so_above_the_list(phone):
    phone.page.route("**/checklist.json", lambda route: route.abort())
    phone.start_again()
    expect(phone.driver.key("new-job")).to_be_visible()
    expect(phone.page.locator("#cannot-start")).to_be_hidden()
    phone.let_come()
    expect(phone.page.locator("#cannot-start")).to_be_visible()


SHEET_IS_KEPT = "(text) => localStorage.getItem('tapermark.sheet-look')?.includes(text)"


@pytest.fixture
def phone_in_a_job(phone):
    phone.show("sheet/vehicle")
    phone.page.evaluate(PLACE_IS_KEPT)
    phone.page.wait_for_function(SHEET_IS_KEPT, arg="QX 41 LTM")
    return phone


def test_a_sheet_that_was_left_stands_before_the_program_and_can_be_read_only(phone_in_a_job):
    phone = phone_in_a_job
    phone.start_again()
    main = phone.page.locator("#main")
    assert main.locator("input").first.input_value() == "QX 41 LTM"
    assert main.locator("[data-key]").count() == 0
    assert phone.page.evaluate(
        "[...document.querySelectorAll('#main > :not(#cannot-start)')].every((node) => node.inert)"
    )
    phone.driver.key("next").click()
    phone.driver.key("undo-last").click(force=True)
    phone.let_come()
    phone.wait_place("/sheet/vehicle")
    expect(phone.driver.key("text-vehicle.description")).to_be_focused()  # where the main button leads
    expect(phone.driver.key("text-vehicle.registration")).to_have_value("QX 41 LTM")
    assert phone.errors == []


@pytest.mark.full
def test_a_sheet_of_another_place_is_not_drawn(phone_in_a_job):
    phone = phone_in_a_job
    phone.show("sheet/condition")
    phone.page.evaluate(PLACE_IS_KEPT)
    kept = phone.page.evaluate("localStorage.getItem('tapermark.sheet-look')")
    phone.page.goto(f"{phone.origin}/tests/run.html")
    elsewhere = kept.replace("/condition", "/vehicle")
    phone.page.evaluate("text => localStorage.setItem('tapermark.sheet-look', text)", elsewhere)
    phone.start_again()
    assert phone.page.locator("[data-key]").count() == 0
    phone.let_come()
    phone.wait_place("/sheet/condition")


@pytest.mark.full
def test_the_list_leaves_no_sheet_behind(phone_in_a_job):
    phone = phone_in_a_job
    phone.page.evaluate("location.hash = '#/'")
    phone.wait_place("#/")
    assert phone.page.evaluate("localStorage.getItem('tapermark.sheet-look')") is None
