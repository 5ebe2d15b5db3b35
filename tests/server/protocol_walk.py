"""A walk through the sync protocol where it is hard: an old backup, a store copied by hand, a cloned phone, refused and
parked entries. It records each request and the server's answer; fixtures/golden/protocol.json keeps the record.

Entries are named by who made them and their number ("a3"), epochs and new devices by the order in which they appear.
"""

from collections.abc import Callable

from tests.server.phones import Phone

JOB = "10000000-0000-4000-8000-000000000000"
_DEVICES = {"a": "0000000a-0000-4000-8000-000000000000", "b": "0000000b-0000-4000-8000-000000000000",
            "c": "0000000c-0000-4000-8000-000000000000"}  # fmt: skip


class Walk:
    """`restore(app) -> app` from the newest backup, `copy(app) -> app`: a server on a copy of the store."""

    def __init__(self, app, back_up: Callable, restore: Callable, copy: Callable):
        self.record: list[dict] = []
        self._app, self._back_up, self._restore, self._copy = app, back_up, restore, copy
        self._names: dict[str, str] = {device: f"device-{name}" for name, device in _DEVICES.items()}
        self._phones, self._entries, self._since = {}, {}, {}

    def entry(self, name: str, **changes) -> dict:
        """The entry of that name: the first letter is the phone, then its number; a prime is a clone's."""
        number = int(name[1:].rstrip("'"))
        entry_id = f"{ord(name[0]):08x}-0000-4000-8000-{number:011d}{'1' if name.endswith(chr(39)) else '0'}"
        self._names.setdefault(entry_id, name)
        return {
            "format": 1, "id": entry_id, "job": JOB, "device": _DEVICES[name[0]], "n": number,
            "at": "2026-11-25T08:30:00.000+01:00", "by": "Ines Tavell", "kind": "note-written", "slot": entry_id,
            "after": [], "body": {"text": name},
        } | changes  # fmt: skip

    def sync(self, phone: str, why: str, *entries: str | dict, since: str = "own") -> dict:
        """One round trip of a phone; `since`: "own", "lost" (the reply before was lost), or "none"."""
        sent = [self.entry(each) if isinstance(each, str) else each for each in entries]
        before = {"own": self._since.get(phone), "none": None}[since]
        if phone not in self._phones:
            self._phones[phone] = Phone(self._app, _DEVICES[phone[0]])
        answer = self._phones[phone].post(sent, before)
        assert answer.status_code == 200, answer.text
        self._since[phone] = answer.json["next"]
        self.record.append({
            "step": why, "phone": phone, "since": self._cursor(before), "sent": [self._name(e["id"]) for e in sent],
            "answer": self._shown(answer.json),
        })  # fmt: skip
        return answer.json

    def lose_reply(self, phone: str, why: str, *entries: str) -> None:
        """A round trip whose answer never arrives: the phone stays where it was."""
        before = self._since.get(phone)
        self.sync(phone, why, *entries)
        self._since[phone] = before

    def clone(self, phone: str, twin: str) -> None:
        """A copy of the phone's storage; it comes by a pairing of its own."""
        self._since[twin] = self._since[phone]

    def back_up(self) -> None:
        self._back_up(self._app)
        self.record.append({"step": "the shop makes a backup"})

    def restore(self) -> None:
        self._move(self._restore(self._app), "the disk dies; the shop restores its newest backup")

    def copy_by_hand(self) -> Callable:
        """Copy the store now; the returned function moves the shop to the copy later."""
        copied = self._copy(self._app)
        return lambda: self._move(copied(), "the shop goes on with the copy of its store made by hand")

    def _move(self, app, why: str) -> None:
        self._app = app
        for phone in self._phones.values():
            phone.client = app.test_client()
        self.record.append({"step": why})

    def _shown(self, answer: dict) -> dict:
        results = [{"entry": self._name(r["id"]), **{k: r[k] for k in ("verdict", "reason") if k in r}}
                   for r in answer["results"]]  # fmt: skip
        return answer | {
            "results": results,
            "entries": [self._name(entry["id"]) for entry in answer["entries"]],
            "next": self._cursor(answer["next"]),
            "new_device": self._name(answer["new_device"], "new-device"),
        }

    def _cursor(self, cursor: dict | None) -> dict | None:
        if cursor is None:
            return None
        return cursor | {"epoch": self._name(cursor["epoch"], "epoch"), "id": self._name(cursor["id"])}

    def _name(self, uuid: str | None, sort: str = "entry") -> str | None:
        if uuid is None:
            return None
        if uuid not in self._names:
            self._names[uuid] = f"{sort}-{1 + sum(name.startswith(sort) for name in self._names.values())}"
        return self._names[uuid]


def walk(app, back_up: Callable, restore: Callable, copy: Callable) -> list[dict]:
    """Walk through all of it; return the record."""
    w = Walk(app, back_up, restore, copy)
    an_old_backup(w)
    a_store_copied_by_hand(w)
    a_cloned_phone(w)
    entries_that_are_refused(w)
    return w.record


def an_old_backup(w: Walk) -> None:
    w.sync("a", "a new phone asks before it has anything")
    w.sync("a", "it sends two entries", "a1", "a2")
    w.sync("b", "another phone gets them and sends its own", "b1")
    w.back_up()
    w.sync("a", "it hears what the backup holds")
    w.lose_reply("a", "it sends a third one and the reply is lost", "a3")
    w.sync("a", "it sends the same again", "a3")
    w.sync("b", "the other phone sends after the backup", "b2")
    w.restore()
    w.sync("a", "it comes with a fourth one and is told to begin again", "a4")
    w.sync("a", "what lies beyond the server's high water goes again", "a3")
    w.sync("b", "the other one is told too")
    w.sync("b", "and sends what was lost", "b2")
    w.sync("a", "which then reaches the first")


def a_store_copied_by_hand(w: Walk) -> None:
    move = w.copy_by_hand()
    w.sync("a", "the server at work goes on after the copy was made", "a5", "a6")
    move()
    w.sync("c", "a third phone takes the seqs that the lost entries had", "c1", "c2", "c3")
    w.sync("a", "the epoch is the same, but its place holds another entry: it begins again")
    w.sync("a", "and sends what the copy lacks", "a5", "a6")


def a_cloned_phone(w: Walk) -> None:
    w.clone("a", "a-clone")
    w.sync("a", "the phone goes on", "a7")
    w.lose_reply("a-clone", "its clone has used the same number for another entry, and the reply is lost", "a7'")
    w.sync("a-clone", "it sends again and is told again: both entries are kept", "a7'")
    w.sync("a", "the first one gets the entry of its clone", "a8")


def entries_that_are_refused(w: Walk) -> None:
    w.sync("b", "one bad entry among good ones", "b3", w.entry("b4", by=7), "b5")
    w.sync("b", "it comes again and is refused again", w.entry("b4", by=7), "b6")
    w.sync("b", "the id of another entry with other content", w.entry("b3", body={"text": "something else"}))
    w.sync("b", "a kind of a later program is parked and goes to the others", w.entry("b7", kind="bolt-weighed"))
    w.sync("c", "they keep it", since="own")
    w.sync("c", "a phone that forgot its place begins from the beginning", since="none")
