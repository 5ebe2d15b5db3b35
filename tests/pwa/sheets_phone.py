"""A phone with a job of the sheets, brought as far as a test wants it, and one of its sheets open."""

from app_driver import PHONE_SIZE
from screen_checks import PHONE
from seeded_phone import SeededPhone

_ENTRIES = f"async ([job, slot]) => (await {PHONE}.entries(job)).filter((entry) => entry.slot === slot)"
_SAVE = f"async (content) => {PHONE}.save({{ after: [], by: 'Tom Reed', ...content }})"


class SheetsPhone(SeededPhone):
    """Row `until` is next in the job; both wheels get rings."""

    def __init__(self, browser, origin, until, sheet="vehicle", facts=(), size=None, **options):
        size = size or PHONE_SIZE
        super().__init__(browser, origin, width=size["width"], height=size["height"], locale="en-GB", **options)
        self.open_job(list(facts))
        assert self.work_until(until, pairs=2) == until
        self.show(f"sheet/{sheet}")

    def live(self, slot: str) -> list:
        entries = self.page.evaluate(_ENTRIES, [self.job, slot])
        superseded = {each for entry in entries for each in entry["after"]}
        return [entry for entry in entries if entry["id"] not in superseded]

    def save_elsewhere(self, slot: str, kind: str, body: dict, *, instead: bool = False) -> None:
        """Save an entry of somebody who knew of no other answer, or who corrects the one that stands."""
        after = [entry["id"] for entry in self.live(slot)] if instead else []
        self.page.evaluate(_SAVE, {"job": self.job, "kind": kind, "slot": slot, "body": body, "after": after})

    def value(self, slot: str):
        [entry] = self.live(slot)
        return entry["body"].get("value")

    def close(self):
        self.context.close()
        assert not self.errors, self.errors
