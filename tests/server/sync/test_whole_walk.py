"""Any order of what happens in a shop, phones that keep to the protocol, pages as small as can be.

After every round trip: a whole job has every entry that the server had up to the phone's place. In the end every phone
knows every job, and an older phone that stood beside them all that it would have had without them.
"""

import random
import uuid

import pytest

from server.commands.backup import make_backup
from server.commands.restore import restore
from server.limits import DAY_MS
from server.store import schema
from server.sync import sync, whole_jobs
from server.sync.derive import derive_due
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.phones import Phone
from tests.server.stores import quiet, rows_of
from tests.server.whole_phone import WholePhone

STEPS = 70
PLATE = "vehicle.registration"


class OldPhone(Phone):
    """One of the release before: it names no jobs, and keeps all that comes."""

    def __init__(self, app):
        super().__init__(app)
        self.knows = {}

    def meet(self):
        answer = {"more": True}
        while answer["more"]:
            answer = self.sync()
            assert "lines" not in answer
            self.knows |= {entry["id"]: entry for entry in answer["entries"]}


class Shop:
    """Phones on one server, and what may happen to them; `random` says what comes next."""

    def __init__(self, make_app, clock, folder, seed):
        self._make_app, self._clock, self._folder = make_app, clock, folder
        self.random = random.Random(seed)
        self.app = make_app(DEMO_JOBS=False)
        self.phones = [WholePhone(self.app, clock) for _ in range(3)]
        self.old = OldPhone(self.app)
        self._backup, self._is_restored, self.erased = None, False, set()

    def step(self):
        acts = {
            self.work: 12, self.swap: 10, self.lose_answer: 3, self.meet: 3, self.close: 5, self.reopen: 3,
            self.wait: 3, self.back_up: 2, self.restore: 2, self.erase: 1, self.desk_looks: 2, self.take_along: 2,
            self.lose_lines: 1, self.old_phone: 2,
        }  # fmt: skip
        self.random.choices(list(acts), list(acts.values()))[0]()

    def _a_phone(self):
        return self.random.choice(self.phones)

    def _a_job(self, phone):
        return self.random.choice(sorted(phone.whole)) if phone.whole else None

    def work(self):
        phone = self._a_phone()
        job = self._a_job(phone) if self.random.random() < 0.7 else None
        job = job or str(uuid.UUID(int=self.random.getrandbits(128), version=4))
        for _ in range(self.random.randint(1, 4)):
            value = {"value": f"AB {self.random.randint(1, 9)}"}
            made = phone.make(job, "field-set", value, PLATE) if self.random.random() < 0.4 else phone.make(job)
            assert made, "a job that is held whole takes entries"

    def close(self):
        phone = self._a_phone()
        if job := self._a_job(phone):
            kind = self.random.choice(["job-signed", "job-signed", "job-stopped"])
            body = {"covers": []} if kind == "job-signed" else {"reason": "part", "handover": "waits for a hub"}
            phone.make(job, kind, body)

    def reopen(self):
        phone = self._a_phone()
        if job := self._a_job(phone):
            closings = [e["id"] for e in phone.held.values() if e["job"] == job and e["kind"] in ("job-signed",)]
            phone.make(job, "job-reopened", {"reopens": closings, "reason": "rattles"})

    def swap(self):
        phone = self._a_phone()
        phone.swap()
        self.check(phone)

    def lose_answer(self):
        self._a_phone().swap(is_answer_lost=True)

    def meet(self):
        phone = self._a_phone()
        phone.meet(after_each=lambda: self.check(phone))

    def wait(self):
        self._clock.now_ms += self.random.choice([1, 1, 8, 31, -20]) * DAY_MS

    def back_up(self):
        self._backup = self._folder / f"backup-{self.random.getrandbits(40)}"
        make_backup(self.app.extensions["database"], self._backup, self._clock(), quiet)

    def restore(self):
        """Once in a walk: each phone has its newest work still, but what was lost with an erasing comes back."""
        if self._backup is None or self._is_restored:
            return
        self._is_restored = True
        self.app.extensions["database"].close()
        restore(self.app.config["DATABASE_URL"], self._backup, self._folder / "aside", self._clock(), quiet)
        self.app = self._make_app(DEMO_JOBS=False)
        for phone in self.phones:
            phone.use(self.app)
        self.old.client = self.app.test_client()

    def erase(self):
        jobs = [row["id"] for row in rows_of(self.app, schema.job)]
        if jobs:
            job = self.random.choice(sorted(jobs))
            with self.app.extensions["database"].transaction() as connection:
                erase_job(connection, job, self._clock())
            self.erased.add(job)

    def desk_looks(self):
        derive_due(self.app.extensions["database"])

    def take_along(self):
        phone = self._a_phone()
        if phone.lines:
            job = self.random.choice(sorted(phone.lines))
            phone.along ^= {job}

    def lose_lines(self):
        self._a_phone().lose_lines()

    def old_phone(self):
        self.old.meet()

    def check(self, phone):
        """What the server had up to the phone's place, of the jobs that the phone calls whole."""
        rows = rows_of(self.app, schema.entry)
        place = phone.cursor["seq"]
        had = {row["id"] for row in rows if row["seq"] <= place and row["erased_ms"] is None
               and row["job"] in phone.whole}  # fmt: skip
        assert had <= phone.held.keys(), [row["job"] for row in rows if row["id"] in had - phone.held.keys()]

    def settle(self):
        """Everybody meets until nobody has anything more to say, and wants all that it has heard of."""
        for _ in range(2):
            for phone in self.phones:
                phone.along = set(phone.lines)
                phone.meet(after_each=lambda phone=phone: self.check(phone))
        for phone in self.phones:
            phone.along = set(phone.lines)
            phone.meet(after_each=lambda phone=phone: self.check(phone))
        self.old.meet()


@on_both_databases
@pytest.mark.parametrize("seed", [0, 1, *(pytest.param(n, marks=pytest.mark.full) for n in range(2, 5))])
def test_a_whole_job_has_every_entry_up_to_the_place_whatever_happens(make_app, clock, tmp_path, monkeypatch, seed):
    for name, number in (("MOST_ENTRIES", 5), ("MOST_LINES", 4), ("MOST_LINES_DERIVED", 2), ("MOST_BROUGHT", 2_500)):
        monkeypatch.setattr(whole_jobs, name, number)
    monkeypatch.setattr(sync, "MOST_ENTRIES", 500)
    shop = Shop(make_app, clock, tmp_path, seed)
    for _ in range(STEPS):
        shop.step()
    shop.settle()
    jobs = {row["id"]: row for row in rows_of(shop.app, schema.job)}
    stored = {row["id"]: row["job"] for row in rows_of(shop.app, schema.entry) if row["erased_ms"] is None}
    made = {i for phone in shop.phones for i, entry in phone.held.items() if entry["job"] not in shop.erased}
    assert made <= stored.keys(), "what a phone made has not arrived"
    lately = {job for job, row in jobs.items() if row["state"] == "open" or clock() - row["changed_ms"] <= 30 * DAY_MS}
    for phone in shop.phones:
        for job in lately - {job for job, row in jobs.items() if row["state"] == "erased"}:
            line, row = phone.lines[job], jobs[job]
            assert [line[name] for name in ("at", "state", "registration", "conflicts", "last_seq")] == [
                row[name] for name in ("line_at", "state", "registration", "conflicts", "last_seq")
            ]
            assert job in phone.whole
            assert {i for i, of in stored.items() if of == job} <= phone.of_job(job)
        for job, row in jobs.items():
            assert job not in phone.lines or phone.lines[job]["state"] == row["state"], "a line is never left behind"
            if row["state"] == "erased":
                assert phone.of_job(job) == set()
    assert {i for i, job in stored.items() if job in lately} <= shop.old.knows.keys()
