"""A phone that holds some jobs whole and of the others a line, by the letter of the protocol and nothing beyond it.

It is a model: what a browser keeps in two databases stands here in two dicts. `held`: entry id -> entry. `whole`: ids
of jobs. `lines`: job -> line. `wanted(line)` says which open jobs it wants whole; those in `along` it always wants.
"""

import json

from server.limits import DAY_MS
from tests.server.phones import Phone

MOST_ROUNDS, MOST_TO_BRING, BATCH = 400, 20, 500


class WholePhone(Phone):
    def __init__(self, app, clock, device=None):
        super().__init__(app, device)
        self._clock = clock
        self.held, self.whole, self.lines = {}, set(), {}
        self.lines_at, self.backed_up_seq, self.backed_up_through = None, 0, 0
        self.waiting, self.along, self.made = [], set(), {}
        self._token = None

    def token(self):
        self._token = self._token or super().token()
        return self._token

    def make(self, job, kind="note-written", body=None, slot=None, **changes):
        """Save an entry, into a job that is held whole or begins here. Returns None where it is not held."""
        if job not in self.whole and self._knows_of(job):
            return None
        entry = self.entry(job, kind, body, slot, **changes)
        self.whole.add(job)
        self.held[entry["id"]] = entry
        self.waiting.append(entry["id"])
        self.made[job] = self._clock()
        return entry

    def _knows_of(self, job):
        return job in self.lines or any(entry["job"] == job for entry in self.held.values())

    def of_job(self, job):
        return {entry["id"] for entry in self.held.values() if entry["job"] == job}

    def is_wanted(self, job):
        line, day = self.lines.get(job), DAY_MS
        if job in self.along:
            return True
        is_lately_open = line and line["state"] == "open" and self._clock() - line["changed_ms"] <= 90 * day
        return bool(is_lately_open) or self._clock() - self.made.get(job, -(10**15)) <= 30 * day

    def to_bring(self):
        asked = [job for job, line in self.lines.items() if line["state"] != "erased" and self.is_wanted(job)]
        return [job for job in asked if job not in self.whole][:MOST_TO_BRING]

    def swap(self, is_answer_lost=False):
        """One round trip; returns the answer."""
        batch = [self.held[entry_id] for entry_id in self.waiting[:BATCH]]
        whole = self.whole | {entry["job"] for entry in batch}
        body = {
            "device": self.device, "since": self.cursor, "entries": batch, "whole": sorted(whole),
            "bring": self.to_bring(), "lines": self.lines_at,
        }  # fmt: skip
        answer = self.client.post("/api/entries", json=body, headers={"X-CSRFToken": self.token()})
        assert answer.status_code == 200, answer.text
        said = json.loads(answer.data)
        if not is_answer_lost:
            self._apply(said, batch, set(body["bring"]))
        return said

    def meet(self, after_each=lambda: None):
        """Swap until nothing is left on either side; returns the answers."""
        answers, asked = [], None
        while not answers or answers[-1]["more"] or self.waiting or self.to_bring() != asked:
            asked = self.to_bring()
            answers.append(self.swap())
            after_each()
            assert len(answers) < MOST_ROUNDS, "it never comes to an end"
        return answers

    def _apply(self, said, batch, asked):
        # One transaction: verdicts, entries and what is whole now.
        assert set(said["whole"]) <= asked, "a job came whole that nobody asked for"
        settled = {r["id"] for r in said["results"] if r["verdict"] in ("accepted", "already", "parked", "refused")}
        assert len(settled) == len(batch)
        if said["restart"]:
            self.lines, self.lines_at = {}, None
        self.whole |= set(said["whole"])
        came = {entry["id"] for entry in said["entries"]}
        for entry in said["entries"]:
            if entry["job"] in self.whole:
                assert self.held.setdefault(entry["id"], entry) == entry, "an entry has changed"
        if said["restart"]:
            self.waiting = [entry["id"] for entry in self.held.values() if entry["job"] in self.whole]
            settled |= came
        self.waiting = [entry_id for entry_id in self.waiting if entry_id not in settled]
        self.cursor, self.backed_up_through = said["next"], said["backed_up_through"]
        self._apply_lines(said)

    def _apply_lines(self, said):
        # A transaction of its own, in another database.
        if self.lines_at is not None and self.lines_at["epoch"] != said["lines_next"]["epoch"]:
            self.lines = {}
        for line in said["lines"]:
            self.lines[line["job"]] = line
            if line["state"] == "erased":
                self._drop(line["job"])
        self.lines_at, self.backed_up_seq = said["lines_next"], said["backed_up_seq"]
        if said["more"]:
            return
        for job, line in self.lines.items():
            if job in self.whole and self._may_leave(line):
                self._drop(job)

    def _may_leave(self, line):
        is_closed = line["state"] in ("stopped", "signed") and line["last_seq"] <= self.backed_up_seq
        return is_closed and not (self.of_job(line["job"]) & set(self.waiting)) and not self.is_wanted(line["job"])

    def _drop(self, job):
        """What is held of it goes; what was not sent stays, and goes out."""
        unsent = set(self.waiting)
        self.held = {i: entry for i, entry in self.held.items() if entry["job"] != job or i in unsent}
        self.whole.discard(job)

    def lose_lines(self):
        """The browser has thrown away the database of the lines."""
        self.lines, self.lines_at = {}, None

    def use(self, app):
        self.client, self._token = app.test_client(), None
