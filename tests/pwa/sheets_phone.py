"""A phone with a job of the sheets, brought as far as a test wants it, and one of its sheets open."""

from app_driver import PHONE_SIZE
from seeded_phone import SeededPhone


class SheetsPhone(SeededPhone):
    """Row `until` is next in the job; both wheels get rings."""

    def __init__(self, browser, origin, until, sheet="vehicle", facts=(), size=None, **options):
        size = size or PHONE_SIZE
        super().__init__(browser, origin, width=size["width"], height=size["height"], locale="en-GB", **options)
        self.open_job(list(facts))
        assert self.work_until(until, pairs=2) == until
        self.show(f"sheet/{sheet}")

    def value(self, slot: str):
        [entry] = self.live(slot)
        return entry["body"].get("value")
