"""A phone that keeps what it has, as the design wants phones to: it sends again whatever a restored server lacks."""

import copy

from tests.server.phones import Phone

_MOST_ROUNDS = 50


class ResendingPhone(Phone):
    """`made`: its own entries, oldest first. `knows`: id -> entry of all that it has. `waiting`: ids not yet sent."""

    def __init__(self, app, device=None):
        super().__init__(app, device)
        self.made, self.knows, self.waiting = [], {}, []
        self._high_water = 0

    def make(self, job, kind="note-written", **fields):
        """Save an entry; it waits for the next sync."""
        entry = self.entry(job, kind, **fields)
        self.made.append(entry)
        self.knows[entry["id"]] = entry
        self.waiting.append(entry["id"])
        return entry

    def use(self, app):
        """Go on with another server, as after a restore or a move: a fresh pairing, everything else stays."""
        self.client = app.test_client()

    def meet(self):
        """Sync until nothing waits on either side. Returns the answers."""
        answers = []
        while True:
            batch = [self.knows[entry_id] for entry_id in self.waiting[:500]]
            answers.append(self.sync(batch))
            self._take(answers[-1])
            if not self.waiting and not answers[-1]["more"]:
                return answers
            assert len(answers) < _MOST_ROUNDS, "it never comes to an end"

    def _take(self, answer):
        settled = {result["id"] for result in answer["results"]}
        assert {result["verdict"] for result in answer["results"]} <= {"accepted", "already"}
        fell = answer["high_water"] < self._high_water
        for entry in answer["entries"]:
            assert self.knows.setdefault(entry["id"], entry) == entry, "an entry has changed"
        if answer["restart"] or fell:
            settled |= {entry["id"] for entry in answer["entries"]}
            beyond = [entry for entry in self.made if entry["n"] > answer["high_water"]]
            self.waiting = [entry["id"] for entry in (self.knows.values() if answer["restart"] else beyond)]
        self.waiting = [entry_id for entry_id in self.waiting if entry_id not in settled]
        self._high_water = answer["high_water"]

    def clone(self, app):
        """Return a copy of the phone as somebody's backup of it would make: the same device, the same count."""
        twin = ResendingPhone(app, self.device)
        twin.count, twin.cursor, twin._high_water = self.count, self.cursor, self._high_water
        twin.made, twin.knows, twin.waiting = map(copy.copy, (self.made, self.knows, self.waiting))
        return twin
