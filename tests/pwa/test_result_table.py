"""The table of a result on small phones: no word and no number breaks inside, in either language."""

import pytest
from fitted_phone import START, check
from playwright.sync_api import expect
from seeded_phone import SeededPhone

# Texts of the table that lie on more lines than they have words.
_BROKEN = """() => [...document.querySelectorAll('.result-table :is(th, td, td > span)')].flatMap((cell) => {
  const walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
  const broken = [];
  while (walker.nextNode()) {
    const node = walker.currentNode;
    for (const { 0: word, index } of node.textContent.matchAll(/\\S+/g)) {
      const range = document.createRange();
      range.setStart(node, index);
      range.setEnd(node, index + word.length);
      const tops = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
      if (tops.size > 1) broken.push(word);
    }
  }
  return broken;
})"""
_WIDE = """() => [...document.querySelectorAll('.result-table :is(th, td)')]
  .filter((cell) => cell.scrollWidth > cell.clientWidth + 1).map((cell) => cell.textContent)"""


@pytest.mark.parametrize("language", ["en", pytest.param("es", marks=pytest.mark.full)])
@pytest.mark.parametrize("width", [360, pytest.param(320, marks=pytest.mark.full)])
def test_no_word_or_number_breaks_inside(browser, origin, width, language):
    phone = SeededPhone(browser, origin, width=width, language=language)
    phone.open_job(START)
    phone.work_until("check.readings", pairs=2)
    check(phone, 1, (-1020, -90), (-1710, 310))
    table = phone.driver.key("result-table")
    expect(table).to_be_visible()
    expect(table.locator(".boxed").first).to_be_visible()
    assert phone.page.evaluate(_BROKEN) == []
    assert phone.page.evaluate(_WIDE) == []
    phone.close()
