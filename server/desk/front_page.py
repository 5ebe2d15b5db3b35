"""What somebody at the desk has to look at first: each thing with why and where to go. It decides and mends nothing."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from flask import url_for

from server import shop_time
from server.desk.words import words
from server.desk.words.phone_words import say
from server.keys import certificate
from server.limits import DAY_MS
from server.store import Connection, photos, rechecks, rings, search, shops, store_checks, types

_MOST = 5  # lines of one thing; the page behind it has them all
_MOST_RECHECKS = 500
STALE_BACKUP_DAYS = 3  # ours, no source: a server that makes them each night has failed then
CERTIFICATE_DAYS = 30  # a server that runs renews it from 60 days before its end


@dataclass
class Thing:
    """One thing. `shape`: its name in shapes.html. `lines`: (words, address or "")."""

    title: str
    shape: str = "warning"
    why: str = ""
    lines: list[tuple[str, str]] = field(default_factory=list)
    more: tuple[str, str] | None = None


def first_things(connection: Connection, store: Path, person, is_demo: bool, now_ms: int) -> list[Thing]:
    """Return the things, the most pressing first; the pages of the office only for those who may open them."""
    found = [
        _to_settle(connection),
        _waiting_phones(connection, person),
        None if is_demo else _backup(connection, now_ms),
        _certificate(store, now_ms),
        _rechecks(connection, now_ms),
        _untrusted(connection),
        _proposals(connection),
    ]
    return [thing for thing in found if thing]


def _to_settle(connection: Connection) -> Thing | None:
    rows, total = search.with_conflicts(connection, _MOST)
    if not rows:
        return None
    lines = [
        (f"{_vehicle(row)}: {_count(row['conflicts'], 'question')}", url_for("job_sheets.show_job", job=row["id"]))
        for row in rows
    ]
    why = "Two people have answered differently, and nothing is worked out on such an answer."
    more = (f"and {total - len(rows)} more in the list below", "") if total > len(rows) else None
    return Thing("Two answers to settle", why=why, lines=lines, more=more)


def _waiting_phones(connection: Connection, person) -> Thing | None:
    """One that has sent all it has waits for nothing, whatever its browser may clear: the list of phones says that."""
    lines, address = [], url_for("phones.show_all") if person.may("office") else ""
    for row in shops.phones(connection):
        awaited = photos.number_awaited(connection, row.id) if row.revoked_ms is None else 0
        said = [f"{_count(row.unsent, 'entry', 'entries')} or photos not sent"] if row.unsent else []
        said += [f"{_count(awaited, 'photo')} to come"] if awaited else []
        said += ["what it stores may be cleared"] if said and row.kept is False else []
        if row.revoked_ms is None and said:
            lines.append((f"{row.name}: {', '.join(said)}; last contact {words.server_time(row.contact_ms)}", address))
    why = "Open Tapermark on it where there is a network; it sends by itself."
    return Thing("Phones that wait", "waiting", why, lines[:_MOST], _more(lines, address)) if lines else None


def _backup(connection: Connection, now_ms: int) -> Thing | None:
    last = shops.last_backup(connection)
    since = store_checks.entries_since(connection, last.seq if last else 0)
    if not since or (last and now_ms - last.made_ms < STALE_BACKUP_DAYS * DAY_MS):
        return None
    when = f"The newest is of {words.server_time(last.made_ms)}" if last else "None was ever made"
    why = f"{when}; {_count(since, 'entry', 'entries')} would be lost with this machine."
    why += " Run: python -m server backup; or have one made each night: serve --backups FOLDER"
    return Thing("Backup is out of date" if last else "No backup", why=why)


def _certificate(store: Path, now_ms: int) -> Thing | None:
    if not certificate.is_there(store):
        return None
    ends = certificate.ends(store)
    left = (ends - datetime.fromtimestamp(now_ms / 1000, UTC)).days
    if left >= CERTIFICATE_DAYS:
        return None
    said = f"It ended on {ends:%Y-%m-%d}: phones refuse it" if left < 0 else f"It ends on {ends:%Y-%m-%d}"
    why = f"{said}. A server that runs renews it by itself: look at what it prints, or start it again."
    return Thing("The certificate ends", why=why)


def _rechecks(connection: Connection, now_ms: int) -> Thing | None:
    today = shop_time.day_of(now_ms)
    due = [row for row in rechecks.due(connection, _MOST_RECHECKS) if row["due_day"] and row["due_day"] <= today]
    address = url_for("rechecks.show")
    lines = [
        (f"{_vehicle(row)}: {'today' if row['due_day'] == today else 'due ' + row['due_day']}", address) for row in due
    ]
    why = "Wheel and hub fasteners, as the signed job sheet asks."
    return Thing(say("recheck.title"), why=why, lines=lines[:_MOST], more=_more(lines, address)) if lines else None


def _untrusted(connection: Connection) -> Thing | None:
    rows = [row for row in rings.newest_of_each(connection) if row["doubts"] and not row["retired"]]
    lines = [(row["name"], url_for("ring_sets.show_one", ring_set_id=row["id"])) for row in rows]
    why = "Measured, but the measuring could not vouch for them: measure again."
    more = _more(lines, url_for("ring_sets.show_all"))
    return Thing("Ring sets not trusted", why=why, lines=lines[:_MOST], more=more) if lines else None


def _proposals(connection: Connection) -> Thing | None:
    rows, address = types.pending(connection), url_for("vehicle_types.show_all")
    lines = [
        (f"{row['type']['make']} {row['type']['model']}, by {row['made_by'] or 'nobody named'}", address)
        for row in rows
    ]
    why = "Until somebody accepts one, its windows and torques are typed again and compared."
    return Thing("Vehicle types proposed", "open", why, lines[:_MOST], _more(lines, address)) if lines else None


def _more(lines: list, address: str) -> tuple[str, str] | None:
    return (f"and {len(lines) - _MOST} more", address) if len(lines) > _MOST else None


def _vehicle(row: dict) -> str:
    return ", ".join(filter(None, (row["registration"] or "no registration given", row["vehicle"])))


def _count(number: int, one: str, several: str = "") -> str:
    return f"{number} {one if number == 1 else several or one + 's'}"
