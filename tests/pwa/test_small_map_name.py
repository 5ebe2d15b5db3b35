"""The window's name on the small tilt maps: whole within the picture, and clear of the window's own edges."""

import pytest
from seeded_phone import DESCRIPTION, READ, SeededPhone, windows

# [left, top, right, bottom] of each map's picture, name, window and the paper behind the name, in pixels of the page.
_BOXES = """() => [...document.querySelectorAll('.tilt-map-small svg')].map((map) =>
  [map, ...['small-name', 'window', 'name-back'].map((part) => map.querySelector(`.map-${part}`))].map((node) => {
    const { left, top, right, bottom } = node.getBoundingClientRect();
    return [left, top, right, bottom];
  }))"""

_HIDDEN = """() => [...document.querySelectorAll('.tilt-map-small svg')].flatMap((map) => {
  const back = map.querySelector('.map-name-back').getBoundingClientRect();
  return [...map.querySelectorAll('.map-mark')].map((mark) => mark.getBoundingClientRect())
    .filter((mark) => mark.right > back.left && mark.left < back.right)
    .filter((mark) => mark.bottom > back.top && mark.top < back.bottom)
    .map(({ left, top }) => [left, top]);
})"""


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("camber", [(-1500, 500), (-1500, -500)])
def test_the_name_is_whole_and_no_edge_runs_through_it(browser, origin, language, camber):
    phone = SeededPhone(browser, origin, language=language)
    phone.open_job([DESCRIPTION, *windows(camber, (0, 200)), *READ])
    phone.show("sheet/readings")
    phone.driver.wait_for("row-base.readings")
    phone.page.locator(".map-small-name").first.wait_for()
    boxes = phone.page.evaluate(_BOXES)
    assert len(boxes) == 2
    for picture, name, window, back in boxes:
        assert picture[0] <= name[0]
        assert name[2] <= picture[2]
        is_clear = name[3] <= window[1] + 2 or name[1] >= window[3] - 2
        is_backed = back[0] <= name[0] and back[2] >= name[2] and back[1] <= name[1] + 2 and back[3] >= name[3] - 2
        assert is_clear or is_backed, (name, window, back)
    # nothing that was read lies under the words
    hidden = phone.page.evaluate(_HIDDEN)
    assert hidden == []
    phone.close()
