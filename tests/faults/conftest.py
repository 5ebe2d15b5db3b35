"""A shop on a store of its own, and three phones."""

import contextlib
import tempfile
from pathlib import Path

import pytest

from tests.faults.phone_page import PhonePage
from tests.faults.shop import Shop, make_fresh_store

# Histories kill phones and restore servers, they cut no power: a store in memory spares thousands of syncs to disk.
MEMORY = Path("/dev/shm")


@pytest.fixture(scope="session")
def fresh_shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop") / "fresh"
    make_fresh_store(folder)
    return folder


@pytest.fixture
def shop(fresh_shop):
    with tempfile.TemporaryDirectory(prefix="tapermark-", dir=MEMORY if MEMORY.is_dir() else None) as folder:
        shop = Shop(fresh_shop, Path(folder))
        yield shop
        shop.close()


@pytest.fixture
def pages(browser):
    with contextlib.ExitStack() as stack:
        yield [stack.enter_context(PhonePage(browser)) for _ in range(3)]
