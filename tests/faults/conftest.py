"""A shop on a store of its own, and three phones."""

import contextlib

import pytest

from tests.faults.phone_page import PhonePage
from tests.faults.shop import Shop, make_fresh_store


@pytest.fixture(scope="session")
def fresh_shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop") / "fresh"
    make_fresh_store(folder)
    return folder


@pytest.fixture
def shop(fresh_shop, tmp_path):
    shop = Shop(fresh_shop, tmp_path / "shop")
    yield shop
    shop.close()


@pytest.fixture
def pages(browser):
    with contextlib.ExitStack() as stack:
        yield [stack.enter_context(PhonePage(browser)) for _ in range(3)]
