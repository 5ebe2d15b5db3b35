"""Walks "Find a pair" by tapping only: the windows of an invented vehicle, then one reading of both wheels."""

import re

from playwright.sync_api import expect
from sheet_driver import SheetDriver

WINDOWS = (
    ("camber.low", "1.5", "top-in"),
    ("camber.high", ".5", "top-in"),
    ("toe.low", "0", "in"),
    ("toe.high", ".2", "in"),
)
READ = (
    ("left.camber", "1.64", "top-in"), ("right.camber", "1.72", "top-in"),
    ("left.toe", "42", "in"), ("right.toe", "31", "in"),
)  # fmt: skip


def type_windows(driver: SheetDriver) -> None:
    """From the start screen; the draft keeps them."""
    driver.tap("find-pair")
    driver.wait_for("begin")
    driver.tap("begin")
    for cell, text, way in WINDOWS:
        driver.angle(f"window.{cell}", text, way)


def read_to_plan(driver: SheetDriver) -> list[str]:
    """From the start screen, where the windows are known, to a first plan; returns the pair of each wheel."""
    driver.tap("find-pair")
    driver.wait_for("find-readings")
    for cell, text, way in READ:
        driver.angle(f"base.{cell}.1", text, way)
    return [pair_on(driver, side) for side in ("left", "right")]


def pair_on(driver: SheetDriver, side: str, key: str = "plan-table") -> str:
    cell = driver.key(key).locator(f'[data-key="pair-{side}"]')
    expect(cell).to_contain_text(re.compile(r"\d+ meets \d+"), timeout=30_000)
    return cell.locator(".pair-figures").inner_text()
