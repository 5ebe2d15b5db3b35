"""The list of jobs stands before the program does: drawn as it was last, and a tap on it is kept."""

import pytest
from playwright.sync_api import expect
from seeded_phone import SeededPhone

JOB = [["vehicle.registration", "field-set", {"value": "QX 41 LTM"}]]
PROGRAM = "**/js/main.js"


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
    phone.page.wait_for_url(f"**/#/job/{phone.job}/**")
    assert phone.errors == []


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


def test_no_list_is_drawn_where_the_phone_was_left_in_a_job(phone):
    phone.show("steps")
    phone.start_again()
    assert phone.page.locator("[data-key]").count() == 0
    phone.let_come()
    phone.wait_place("/steps")
