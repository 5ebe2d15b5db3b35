"""What the browser never answers ends with words that say what was awaited; the browser can be used after it."""

import pytest
from playwright.sync_api import Error

from tests import patience


@pytest.fixture
def hasty():
    undo = patience.bound_every_call(1)
    yield
    undo()


def test_a_promise_that_never_settles_ends_with_words(page, hasty):  # noqa: ARG001
    with pytest.raises(patience.NeverAnswered, match=r"within 1 s, got none: Page.evaluate .*new Promise\("):
        page.evaluate("() => new Promise(() => {})")
    assert page.evaluate("1 + 1") == 2


def test_a_page_that_computes_without_an_end_ends_with_words(page, hasty):  # noqa: ARG001
    with pytest.raises(patience.NeverAnswered, match="for \\(;;\\)"):
        page.evaluate("() => { for (;;); }")


def test_every_test_has_the_limit(page):
    """As tests/conftest.py sets it, and the words of the driver's own limits stay its own."""
    assert page._sync.__func__.__module__ == patience.__name__
    with pytest.raises(Error, match="Timeout 10ms exceeded"):
        page.wait_for_function("() => false", timeout=10)
