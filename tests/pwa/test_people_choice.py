"""Who works with a phone: one of the shop's people once it has told any, else whoever types a name."""

import pytest
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean
from seeded_phone import SeededPhone

from server.auth.people import code_digest

JONAH, MARA = "1a9e6d1c-0f6e-4a63-8b57-8f1f5a8f0c01", "2b9e6d1c-0f6e-4a63-8b57-8f1f5a8f0c02"
PEOPLE = [
    {"id": JONAH, "name": "Jonah Brask", "code": None},
    {"id": MARA, "name": "Mara Elgin", "code": code_digest(MARA, "0417")},
]
_TOLD = f"async (people) => {PHONE}.setSetting('people', people)"
_NAME = f"async () => {PHONE}.setting('technician')"


class PeoplePhone(SeededPhone):
    def told(self, people):
        self.workbench.evaluate(_TOLD, people)
        self.page.goto(f"{self.origin}/#/")
        self.driver.settle()


@pytest.fixture
def p(browser, origin):
    phone = PeoplePhone(browser, origin, locale="en-GB")
    yield phone
    phone.close()


def name(p):
    return p.page.evaluate(_NAME)


def test_until_the_shop_has_told_its_people_a_name_is_typed(p):
    p.told([])
    expect(p.driver.key("choose-name")).to_have_count(0)
    p.page.goto(f"{p.origin}/#/name")
    p.driver.settle()
    p.driver.fill("technician", "Tom Reed")
    p.driver.tap("keep-name")
    p.driver.wait_for("new-job")
    assert name(p) == "Tom Reed"


def test_a_name_that_is_not_one_of_them_is_said_and_one_tap_chooses(p):
    p.told(PEOPLE)
    asked = p.driver.key("choose-name")
    expect(asked).to_contain_text("Iris Vance is not one of the shop's people")
    p.driver.tap_on("choose-name")
    expect(p.driver.key("technician")).to_have_count(0)
    assert_clean(p.driver, "people")
    p.driver.tap_on(f"person-{JONAH}")
    p.driver.wait_for("new-job")
    assert name(p) == "Jonah Brask"
    expect(asked).to_have_count(0)
    expect(p.page.locator("#top")).to_contain_text("Jonah Brask")
    p.page.reload()
    p.driver.settle()
    expect(p.page.locator("#top")).to_contain_text("Jonah Brask")


def test_where_the_shop_wants_a_code_it_is_asked_without_network(p):
    p.told(PEOPLE)
    p.driver.tap_on("choose-name")
    p.cut_network()
    p.driver.tap(f"person-{MARA}")
    p.driver.fill("person-code", "0418")
    p.driver.tap("keep-code")
    expect(p.driver.key("person-code-error")).to_contain_text("That is not the code of Mara Elgin")
    assert name(p) == "Iris Vance"
    p.driver.fill("person-code", "0417")
    p.driver.tap_on("keep-code")
    p.driver.wait_for("new-job")
    assert name(p) == "Mara Elgin"
