"""The read-back: the planned marks stand nowhere in view while they are read, and what is said of them is seen."""

import pytest
from playwright.sync_api import expect

READ, IN, FACES = "fit.left.read-back", "fit.left.rings-in", "fit.left.faces"
# Visible text of the page and of what assistive technology reads, without what is typed.
_NAMED = """() => document.body.innerText
  + [...document.querySelectorAll('#main [aria-label], #main title, #main desc')]
    .filter((node) => node.checkVisibility())
    .map((node) => node.getAttribute('aria-label') ?? node.textContent).join(' ')"""
_WHOLLY_IN_VIEW = """(key) => {
  const { top, bottom } = document.querySelector(`[data-key="${key}"]`).getBoundingClientRect();
  const bar = document.getElementById('bar').getBoundingClientRect().top;
  const banner = document.querySelector('.wheel-banner').getBoundingClientRect().bottom;
  return top >= banner && bottom <= bar;
}"""


def marks(p) -> list[str]:
    """The planned pair, which the row of putting the rings in names while it is open."""
    return p.driver.pair(IN)


def names(p, pair) -> bool:
    words = p.page.evaluate(_NAMED)
    return any(f"{a} meets" in words or f"meets {a}" in words or f"Inner {a}" in words or f"La {a} " in words
               or f"{a} con" in words for a in pair)  # fmt: skip


@pytest.mark.parametrize("language", ["en", pytest.param("es", marks=pytest.mark.full)])
def test_the_planned_marks_stand_nowhere_in_view_until_they_are_read(sheets, language):
    p = sheets(IN, "wheel.left", language=language)
    pair = marks(p)
    assert names(p, pair)  # the rings are put in by them
    expect(p.driver.key("letter-L")).to_be_disabled()
    expect(p.driver.key("rings-first")).to_be_visible()
    p.driver.tick(IN)
    expect(p.driver.key("rings-first")).to_have_count(0)
    assert not names(p, pair)
    expect(p.driver.key("read-back-drawing")).to_be_hidden()
    p.driver.tap("letter-L")
    for ring, mark in zip(("inner", "outer"), pair, strict=True):
        p.driver.number(f"{READ}.{ring}", mark)
    p.driver.wait_state(READ)
    expect(p.page.locator(".banner-pair")).to_contain_text(pair[0])
    assert names(p, pair)


def test_a_wrong_letter_is_answered_in_view_and_opens_no_keypad(sheets):
    p = sheets(READ, "wheel.left")
    p.driver.tap("letter-R")
    expect(p.driver.key("wrong-letter")).to_be_visible()
    p.page.wait_for_function(_WHOLLY_IN_VIEW, arg="wrong-letter")
    expect(p.driver.key("keypad")).to_have_count(0)
    p.driver.aim(f"{READ}.inner")  # also with the keypad
    p.driver.tap("letter-L")
    p.driver.number(f"{READ}.inner", "99")
    p.page.wait_for_timeout(200)
    p.driver.tap("letter-R")
    p.page.wait_for_function(_WHOLLY_IN_VIEW, arg="wrong-letter")
