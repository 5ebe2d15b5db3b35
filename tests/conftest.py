"""What every test folder shares: one Chromium and one PostgreSQL for each process of the run, and the order.

Playwright's synchronous interface can be started only once in a process, so no other file may start it.
"""

import os
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import expect, sync_playwright

from tests.browser import launch_options as options_of_this_machine
from tests.browser import shell_options
from tests.patience import bound_every_call
from tests.postgres import Cluster, binaries

IN_CI = os.environ.get("CI") == "true"

# A busy machine is slow, not wrong. CI repeats the same examples; elsewhere each run looks at new ones.
settings.register_profile("tapermark", deadline=None, derandomize=IN_CI)
settings.load_profile("tapermark")
expect.set_options(timeout=30_000)
bound_every_call()


# What fails in a second is told before what takes minutes; within a folder the order stays random.
QUICK_FIRST = ("calc", "published", "server", "pwa", "faults")
# Begun late, they would run alone at the end; so they come before the folder that is named here.
LONGEST = {
    "test_full_disk.py": "calc", "test_histories.py": "server", "test_known_job.py": "server",
    "test_one_job.py": "pwa", "test_kill.py": "pwa",
}  # fmt: skip


def pytest_addoption(parser):
    parser.addoption(
        "--full", action="store_true", help="also what is marked `full`: long runs, every language and size"
    )


def pytest_collection_modifyitems(config, items):
    if not config.getoption("--full"):
        config.hook.pytest_deselected(items=[item for item in items if item.get_closest_marker("full")])
        items[:] = [item for item in items if not item.get_closest_marker("full")]
    folders = Path(__file__).parent

    def rank(item) -> int:
        folder = item.path.relative_to(folders).parts[0]
        before = LONGEST.get(item.path.name)
        return QUICK_FIRST.index(before) - 0.5 if before else QUICK_FIRST.index(folder) if folder in QUICK_FIRST else -1

    items.sort(key=rank)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: a whole job waits for half of its time, as a person has to."""
    return (os.cpu_count() or 1) + 1


@pytest.fixture(scope="session")
def launch_options() -> dict:
    """Keyword arguments for `chromium.launch` and `chromium.launch_persistent_context`."""
    return options_of_this_machine()


@pytest.fixture(scope="session")
def playwright_driver(launch_options):  # noqa: ARG001 the options may start Playwright themselves, so they come first
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def chromium(playwright_driver):
    """Playwright's browser type, for tests that start and kill their own browser."""
    return playwright_driver.chromium


@pytest.fixture(scope="session")
def browser(chromium):
    """One browser without windows for the session; take a fresh `browser.new_context()` for each test."""
    browser = chromium.launch(**shell_options())
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def whole_browser(chromium, launch_options):
    """The whole Chromium, for what its shell does otherwise."""
    browser = chromium.launch(**launch_options)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def postgres():
    """A throwaway PostgreSQL. Where there is none its tests are skipped by name, and in CI they fail."""
    if binaries() is None:
        say = pytest.fail if IN_CI else pytest.skip
        say("no PostgreSQL here: run `sh tests/run` as root, which brings it, or install Debian's package `postgresql`")
    with Cluster() as cluster:
        yield cluster
