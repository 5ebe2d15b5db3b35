"""Random histories of phones and a server, and the one rule that holds in all of them: every value that was ever shown
as saved is on a phone or on the server, once.

The phones are real pages with a real browser database, the server is the real application. Two phones work on the same
jobs; a third page becomes a clone of the first. `MADE` counts what was tried, so that a test can see that it was.
After every contact a job that a phone calls whole has every entry that the server had up to the phone's place, and what
has left it is in a backup.
"""

import base64
import hashlib
import io
import itertools
from collections import Counter

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule
from PIL import Image

from tests.faults.phone_page import ROADS, PhonePage
from tests.faults.shop import START_MS, Shop

JOBS = ("11111111-1111-4111-8111-111111111111", "22222222-2222-4222-8222-222222222222")
SLOTS = ("vehicle.vin", "vehicle.registration", "window.source")
PEOPLE = ("Ada Lind", "Ines Tavell")
DAY_MS = 24 * 3600 * 1000
TEN_YEARS_MS, HOUR_MS, WANTED_MS = 3653 * DAY_MS, DAY_MS // 24, 90 * DAY_MS
# By how much a phone's clock is off; None: it stands at the beginning of all time.
CLOCKS = {"1970": None, "in ten years": TEN_YEARS_MS, "an hour back": -HOUR_MS, "right": 0}
STORAGE_FAULTS = ((), ("put-throws",), ("transaction-throws",), ("commit-aborts",), ("lost-ack",), ("quota",))
MOST_SYNCS = 6  # of a phone until nothing waits any more; a restart, a clone and a photo take one each
JOBS_THINGS = ("take along", "show", "show none", "lose lines")
SHOPS_THINGS = (
    "backup",
    "backup and a month",
    "backup and a month",
    "restore",
    "erase",
    "older server",
    "newer server",
    "years ahead",
)
MADE: Counter = Counter()

_tokens = itertools.count()
one_road = st.sampled_from(ROADS)
# Trouble from the start, or only after the first requests went well: else the photos would hardly ever meet any.
late = st.builds(lambda well, bad: ["fine"] * well + [bad], st.integers(1, 5), one_road)
roads = st.lists(one_road, max_size=5) | late
jobs, slots, people, clocks = (st.sampled_from(each) for each in (JOBS, SLOTS, PEOPLE, ("right", *sorted(CLOCKS))))
two = st.integers(0, 1)


def _photo(shade: int) -> dict:
    data = io.BytesIO()
    Image.new("RGB", (8, 6), (shade, 90, 30)).save(data, "JPEG")
    content = data.getvalue()
    name = hashlib.sha256(content).hexdigest()
    return {"base64": base64.b64encode(content).decode(), "mime": "image/jpeg", "sha256": name}


PHOTOS = [_photo(shade) for shade in (20, 120, 220)]


class Histories(RuleBasedStateMachine):
    """One history; the subclass of a test brings `shop` and `pages`, three phones."""

    pages: list[PhonePage]
    shop: Shop

    def __init__(self):
        super().__init__()
        MADE["histories"] += 1
        self.shop.begin()
        self.phones = self.pages[:2]
        for k, page in enumerate(self.pages):
            page.road.serve = self.shop.answer
            page.start(f"phone-{k}-{MADE['histories']}", START_MS)
        self.shown: dict[str, dict] = {}  # id -> entry that was shown as saved
        self.poisons: set[str] = set()
        self.erased: set[str] = set()  # ids of what the desk has erased; a restore may bring them back
        self.ahead_ms = 0  # by how much the server's clock is wrong
        self.on_screen: dict[PhonePage, str] = {}
        self._begin_together()

    def _begin_together(self):
        """The first job is on both phones; the other begins wherever somebody first works on it, perhaps on both."""
        opening = {"job": JOBS[0], "kind": "job-opened", "slot": None, "body": {"checklist": 2}, "by": PEOPLE[0]}
        assert self._save(self.phones[0], opening)
        for phone in self.phones:
            assert phone.sync()["status"] == "idle"

    # What people do

    @rule(which=two, job=jobs, slot=slots)
    def save(self, which, job, slot):
        """The first value of a slot, or an edit of it."""
        self._save(self._phone(which), self._field(job, slot, PEOPLE[0]))

    @rule(which=two, job=jobs, slot=slots, by=people, clock=clocks, faults=st.sampled_from(STORAGE_FAULTS))
    def save_in_trouble(self, which, job, slot, by, clock, faults):
        """Another person, a clock that jumps, storage that fails."""
        phone = self._phone(which)
        off_ms = CLOCKS[clock]
        phone.set_clock(0 if off_ms is None else self._true_ms() + off_ms)
        self._count(f"clock {clock}")
        self._save(phone, self._field(job, slot, by), faults)

    @rule(which=two, job=jobs, photo=st.sampled_from(PHOTOS), faults=st.sampled_from(STORAGE_FAULTS))
    def take_photo(self, which, job, photo, faults):
        about = {"about": "witness", "caption": "", "width": 8, "height": 6, "bytes": 1, "mime": photo["mime"]}
        body = about | {"sha256": photo["sha256"], "bytes": len(base64.b64decode(photo["base64"]))}
        content = {"job": job, "kind": "photo-attached", "slot": None, "body": body, "by": PEOPLE[0], "photo": photo}
        self._save(self._phone(which), content | {"opens": job == JOBS[1]}, faults)

    @rule(which=two, by=roads)
    def send(self, which, by):
        self._send(which, by)

    @rule(which=two)
    def send_well(self, which):
        self._send(which, [])

    @rule(which=two, job=jobs, what=st.sampled_from(("sign", "file taken to the desk", "poison", "clone")))
    def do_what_is_rare(self, which, job, what):
        phone = self._phone(which)
        self._count(what)
        if what == "sign":
            self._save(phone, {"job": job, "kind": "job-signed", "slot": None, "body": {}, "by": PEOPLE[0]})
        elif what == "poison":
            poison = f"99999999-9999-4999-8999-{next(_tokens):012d}"
            if phone.call("poison", job, poison):
                self.poisons.add(poison)
        elif what == "clone" and len(self.phones) == 2:
            self.pages[0].clone_to(self.pages[2])
            self.phones = [self.pages[0], self.pages[2], self.pages[1]]
            self.on_screen.pop(self.pages[2], None)
        else:  # the phone does not know that its work was taken in by hand, and sends it again
            self.shop.take_file(phone.call("exported"))

    # What befalls them

    @rule(which=two, job=jobs, slot=slots, at=st.sampled_from(("rest", "a save", 1, 2, 3)))
    def kill(self, which, job, slot, at):
        """What was being saved was never shown as saved: it may be there or not, but at most once."""
        phone = self._phone(which)
        self.on_screen.pop(phone, None)
        if at == "rest":
            phone.kill()
        elif at == "a save":
            phone.kill_while_saving(self._field(job, slot, PEOPLE[0]))
        else:
            phone.kill_while_syncing(requests=at)
        self._count(f"kill at {at if isinstance(at, str) else 'a sync'}")

    @rule(which=two, job=jobs, what=st.sampled_from(JOBS_THINGS))
    def handle_a_job(self, which, job, what):
        phone = self._phone(which)
        self._count(what)
        if what == "take along":
            phone.call("takeAlong", job)
        elif what == "lose lines":
            phone.lose_lines()
        else:
            phone.call("show", job if what == "show" else None)
            self.on_screen[phone] = job if what == "show" else None

    @rule(what=st.sampled_from(SHOPS_THINGS), job=jobs)
    def befall_the_server(self, what, job):
        """A month after a backup closed jobs may leave the phones; a restore is from the newest backup."""
        if what == "restore" and not self.shop.has_backup:
            what = "backup"
        self._count(what)
        if what == "restore":
            self.shop.restore()
        elif what == "erase":
            self.shop.erase(job)
            self.erased |= {row.id for row in self.shop.rows() if row.erased_ms is not None}
        elif what.endswith("server"):
            self.shop.is_old = what == "older server"
        elif what == "years ahead":
            self._set_ahead(TEN_YEARS_MS - self.ahead_ms)
        else:
            self.shop.backup()
            if what == "backup and a month":
                self._let_a_month_pass()

    @rule(which=two, job=jobs)
    def grow_old(self, which, job):
        """A job is signed, sent, and in a backup for a month: it may leave the phones, and each says so to nobody."""
        self._save(self._phone(which), {"job": job, "kind": "job-signed", "slot": None, "body": {}, "by": PEOPLE[0]})
        for phone in range(2):
            self._send(phone, [])
        self.shop.backup()
        self._let_a_month_pass()
        for phone in range(2):
            self._send(phone, [])

    def _set_ahead(self, ahead_ms: int):
        self.shop.clock_ms += ahead_ms - self.ahead_ms
        self.ahead_ms = ahead_ms

    def _let_a_month_pass(self):
        self.shop.clock_ms += 31 * DAY_MS
        for phone in self.phones:
            phone.set_clock(self._true_ms())

    def _true_ms(self) -> int:
        return self.shop.clock_ms - self.ahead_ms

    # What must hold

    def nothing_shown_is_lost_or_doubled(self):
        places = [page.call("contents") for page in self.phones]
        server = self.shop.entries()
        everywhere: dict[str, dict] = {}
        for entry in itertools.chain(server, *(place["entries"] for place in places)):
            assert everywhere.setdefault(entry["id"], entry) == entry, "one id, two contents"
        for entry_id, entry in self._shown():
            assert everywhere.get(entry_id) == entry, f"shown as saved and gone: {entry}"
        values = Counter(entry["body"]["value"] for entry in everywhere.values() if entry["kind"] == "field-set")
        assert not [value for value, times in values.items() if times > 1], "a value is there twice"
        pictures = self.shop.photos().union(*(place["photos"] for place in places))
        assert self._shown_photos() <= pictures, "a photo shown as saved is gone"
        for place in places:
            self._check_whole(place)

    def _shown(self) -> list[tuple[str, dict]]:
        return [(entry_id, entry) for entry_id, entry in self.shown.items() if entry_id not in self.erased]

    def _shown_photos(self) -> set[str]:
        return {entry["body"]["sha256"] for _, entry in self._shown() if entry["kind"] == "photo-attached"}

    def _check_whole(self, place):
        """Of each job that the phone calls whole it has what the server had up to the phone's place."""
        since = place["since"]
        if since is None or since["epoch"] != self.shop.epoch():
            return
        had = {
            row.id
            for row in self.shop.rows()
            if row.job in place["proved"] and row.seq <= since["seq"] and row.erased_ms is None
        }
        assert had <= {entry["id"] for entry in place["entries"]}, "a job that is called whole is not"

    def teardown(self):
        """The network is good again: in the end the server has everything, once, and each phone what it needs."""
        try:
            self.nothing_shown_is_lost_or_doubled()
            self._settle()
        finally:
            for page in self.pages:
                page.end()

    def _settle(self):
        self.shop.is_old = False
        self._set_ahead(0)
        for phone in self.phones:
            phone.set_clock(self._true_ms())
        states = [self._sync_until_quiet(phone) for phone in self.phones]
        states[:-1] = [self._sync_until_quiet(phone) for phone in self.phones[:-1]]  # for what later ones sent
        self.nothing_shown_is_lost_or_doubled()
        held = {entry["id"]: entry for entry in self.shop.entries()}
        for entry_id, entry in self._shown():
            assert held.get(entry_id) == entry, f"never reached the server: {entry}"
        assert self._shown_photos() <= self.shop.photos(), "a photo never reached the server"
        assert not self.poisons & set(held)
        refused = [set(self._check_phone(phone, state, held)) for phone, state in zip(self.phones, states, strict=True)]
        assert set().union(*refused) - self.erased == self.poisons, "what the server never takes is listed and stays"

    def _check_phone(self, phone, state, held) -> list[str]:
        """Return the ids that the phone lists as refused."""
        place = phone.call("contents")
        waiting = place["unsent"]["photos"]
        assert place["unsent"]["entries"] == 0
        assert waiting <= len(self._photos_of_erased()), "only a photo of what was erased is not taken"
        assert (state["status"] == "refused") == bool(place["refused"] or waiting), state
        here = {entry["id"] for entry in place["entries"]}
        jobs = self.shop.jobs()
        lately_open = {
            job for job, row in jobs.items() if row.state == "open" and self._true_ms() - row.changed_ms <= WANTED_MS
        }
        wanted = {entry_id for entry_id, entry in held.items() if entry["job"] in lately_open}
        assert wanted <= here, "an open job is not whole on a phone"
        assert lately_open <= set(place["jobs"]), "an open job cannot be worked on"
        for line in place["lines"]:
            assert line["state"] == jobs[line["job"]].state, "a line is left behind"
        # Of a job that was worked on since, other phones hear only that it is open.
        gone = {row.id for row in self.shop.rows() if row.erased_ms is not None and jobs[row.job].state == "erased"}
        assert not gone & (here - set(place["refused"])), "what was erased is still on a phone"
        return place["refused"]

    def _sync_until_quiet(self, phone) -> dict:
        for _ in range(MOST_SYNCS):
            state = phone.sync()
            if state["status"] in ("idle", "refused"):
                return state
        raise AssertionError(f"it never comes to an end: {state}")

    def _send(self, which: int, by: list[str]) -> None:
        """Sync once over a road that may be bad; what the screen says must be so."""
        phone = self._phone(which)
        before = phone.call("contents")
        state = phone.sync(by)
        self._check_what_left(phone, before, phone.call("contents"))
        for what in (f"sync {state['status']}", *by):
            self._count(what)
        if state["status"] == "idle":
            place = phone.call("contents")
            assert (place["unsent"]["entries"], place["unsent"]["photos"]) == (0, 0), "it says that everything is sent"
            assert {entry["id"] for entry in place["entries"]} <= {row.id for row in self.shop.rows()}
            assert set(place["photos"]) - self._photos_of_erased() <= self.shop.photos()

    def _photos_of_erased(self) -> set[str]:
        entries = [self.shown[entry_id] for entry_id in self.erased if entry_id in self.shown]
        return {entry["body"]["sha256"] for entry in entries if entry["kind"] == "photo-attached"}

    def _check_what_left(self, phone, before, after):
        self._check_whole(after)
        gone = {entry["id"]: entry["job"] for entry in before["entries"]}
        for entry in after["entries"]:
            gone.pop(entry["id"], None)
        left = {job for entry_id, job in gone.items() if entry_id not in self.erased}
        if left:
            self._count("left")
            assert gone.keys() <= self.shop.backed_up | self.erased, "what has left is in no backup"
            assert not self.ahead_ms, "it left by a clock that is years ahead"
            assert not self.shop.is_old, "it left without a line"
            assert self.on_screen.get(phone) not in left, "it left while it was shown"

    def _phone(self, which: int) -> PhonePage:
        """The first phone, or the newest other one: a clone, once there is one."""
        return self.phones[which]

    def _field(self, job: str, slot: str, by: str) -> dict:
        content = {"job": job, "kind": "field-set", "slot": slot, "body": {"value": f"value {next(_tokens)}"}, "by": by}
        return content | {"opens": job == JOBS[1]}

    def _save(self, phone: PhonePage, content: dict, faults=()) -> bool:
        outcome = phone.call("save", content, list(faults))
        if "entry" in outcome:
            entry = outcome["entry"]
            assert entry["by"] == content["by"], "work is of the person who did it"
            self.shown[entry["id"]] = entry
        if outcome.get("error") == "job-not-here":
            assert content["job"] not in phone.call("contents")["jobs"]
            assert phone.call("contents")["rescued"] > 0, "what was typed is kept aside"
        self._count("saved" if "entry" in outcome else outcome["error"])
        return "entry" in outcome

    def _count(self, what: str) -> None:
        MADE[what] += 1
