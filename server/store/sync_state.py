"""One look at all that a sync hangs on, in one statement: asked one by one, the questions cost more than the work.

Each list goes as one value, so that the statement is the same for one entry and for five hundred, and is read once.

It takes no lock. What it finds holds until the transaction ends for whoever has the writers' turn or a snapshot.
"""

import json
import re
from collections import defaultdict
from dataclasses import dataclass, field
from functools import cache

from sqlalchemy import Connection, TextClause, text

MOST_WANTED = 500  # photos named in one answer; the rest follow when these have come

# name -> (part, text, text, number, number); the first one gives the columns their types on PostgreSQL
_PARTS = {
    "shop": "SELECT 'shop' AS part, epoch AS a, epoch AS b, CAST(0 AS BIGINT) AS m, CAST(0 AS BIGINT) AS n FROM shop",
    "newest": """SELECT 'newest', id, '', seq, 0
        FROM (SELECT id, seq FROM entry ORDER BY seq DESC LIMIT 1) AS newest""",
    "lines": """SELECT 'lines', '', '', lines, COALESCE((SELECT MAX(seq) FROM backup), 0)
        FROM counter WHERE name = 'entry'""",
    "since": "SELECT 'since', id, '', seq, 0 FROM entry WHERE seq = :since",
    "device": """SELECT 'device', device.id, pairing_device.pairing, device.high_water, device.backed_up_through
        FROM device LEFT JOIN pairing_device
        ON pairing_device.device = device.id AND pairing_device.pairing = :pairing WHERE device.id IN [devices]""",
    "last": """SELECT 'last', id, '', COALESCE((SELECT MAX(n) FROM entry WHERE entry.device = device.id), 0),
        COALESCE((SELECT MAX(n) FROM set_aside WHERE set_aside.device = device.id), 0)
        FROM device WHERE id IN [devices]""",
    "behind": """SELECT 'behind', id, '', 0, 0 FROM device WHERE id IN [devices]
        AND (EXISTS (SELECT 1 FROM entry WHERE entry.device = device.id AND entry.n = high_water + 1)
        OR EXISTS (SELECT 1 FROM set_aside WHERE set_aside.device = device.id AND set_aside.n = high_water + 1))""",
    "wanted": """SELECT 'wanted', sha256, '', 0, 0 FROM (SELECT DISTINCT photo_awaited.sha256 FROM pairing_device
        JOIN photo_awaited ON photo_awaited.device = pairing_device.device
        LEFT JOIN photo ON photo.sha256 = photo_awaited.sha256
        WHERE pairing_device.pairing = :pairing AND photo.sha256 IS NULL
        ORDER BY photo_awaited.sha256 LIMIT :most_wanted) AS missing""",
    "held": """SELECT 'held', id, digest, CASE WHEN erased_ms IS NULL THEN 0 ELSE 1 END, 0
        FROM entry WHERE id IN [ids]""",
    "same": "SELECT 'same', id, '', n, 0 FROM entry WHERE device = :device AND n IN [numbers]",
    "job": "SELECT 'job', id, state, first_seq, revived_seq FROM job WHERE id IN [jobs]",
    "aside": "SELECT 'aside', digest, '', 0, 0 FROM set_aside WHERE digest IN [digests]",
    "photo": "SELECT 'photo', sha256, '', 0, 0 FROM photo WHERE sha256 IN [photos]",
    "awaited": "SELECT 'awaited', sha256, device, 0, 0 FROM photo_awaited WHERE sha256 IN [photos]",
}
# How a list is put: SQLite reads it from JSON, PostgreSQL as an array.
_SQLITE, _POSTGRESQL = "IN (SELECT value FROM json_each(:{}))", "= ANY(CAST(:{} AS {}[]))"
_LISTS = {
    "devices": "VARCHAR", "ids": "VARCHAR", "numbers": "BIGINT", "jobs": "VARCHAR", "digests": "VARCHAR",
    "photos": "VARCHAR",
}  # fmt: skip


@dataclass(frozen=True)
class Asked:
    """What is looked for. `devices`: the one that speaks first; `since_seq`: where its cursor stands, or None."""

    pairing: str
    devices: list[str]
    since_seq: int | None = None
    ids: list[str] = field(default_factory=list)  # of entries
    numbers: list[int] = field(default_factory=list)  # n of entries of the first device
    jobs: list[str] = field(default_factory=list)
    digests: list[str] = field(default_factory=list)  # of what may be set aside
    photos: list[str] = field(default_factory=list)
    lines: bool = False  # whether the phone knows them


@dataclass(frozen=True)
class Device:
    is_bound: bool  # to the pairing that was asked for
    high_water: int
    backed_up_through: int


@dataclass(frozen=True)
class JobSeen:
    state: str
    first_seq: int
    revived_seq: int


@dataclass
class Seen:
    """What the store holds of it."""

    epoch: str = ""
    newest: tuple[int, str | None] = (0, None)  # seq and id of the last entry, erased or not
    lines: int = 0  # the last place given to a job's line
    backed_up_seq: int = 0  # up to which a backup holds all entries
    at_since: str | None = None  # the id of the entry there
    devices: dict[str, Device] = field(default_factory=dict)
    last: dict[str, int] = field(default_factory=dict)  # device -> its largest n that is held
    behind: set[str] = field(default_factory=set)  # devices whose high water is lower than it could be
    wanted: list[str] = field(default_factory=list)  # photos that entries of the pairing's devices wait for
    held: dict[str, tuple[str, bool]] = field(default_factory=dict)  # id -> (digest, whether it was erased)
    same: dict[int, set[str]] = field(default_factory=lambda: defaultdict(set))  # n of the first device -> ids
    jobs: dict[str, JobSeen] = field(default_factory=dict)
    aside: set[str] = field(default_factory=set)
    photos: set[str] = field(default_factory=set)
    awaited: set[tuple[str, str]] = field(default_factory=set)  # (device, photo)


def look(connection: Connection, asked: Asked) -> Seen:
    """Return what there is of all that is asked."""
    only_where = {
        "lines": asked.lines, "since": asked.since_seq is not None, "held": asked.ids, "same": asked.numbers,
        "job": asked.jobs, "aside": asked.digests, "photo": asked.photos, "awaited": asked.photos,
    }  # fmt: skip
    parts = tuple(name for name in _PARTS if only_where.get(name, True))
    found = {
        "pairing": asked.pairing, "devices": asked.devices, "device": asked.devices[0], "since": asked.since_seq,
        "ids": asked.ids, "numbers": asked.numbers, "jobs": asked.jobs, "digests": asked.digests,
        "photos": asked.photos, "most_wanted": MOST_WANTED,
    }  # fmt: skip
    is_sqlite = connection.dialect.name == "sqlite"
    statement, names = _statement(parts, is_sqlite)
    given = {name: found[name] for name in names}
    if is_sqlite:
        given |= {name: json.dumps(given[name]) for name in names if name in _LISTS}
    seen = Seen()
    for part, a, b, m, n in connection.execute(statement, given):
        _note(seen, part, a, b, m, n)
    seen.wanted.sort()
    return seen


@cache
def _statement(parts: tuple[str, ...], is_sqlite: bool) -> tuple[TextClause, tuple[str, ...]]:
    def put(found: re.Match) -> str:
        return (_SQLITE if is_sqlite else _POSTGRESQL).format(found[1], _LISTS[found[1]])

    joined = re.sub(r"IN \[(\w+)\]", put, " UNION ALL ".join(_PARTS[part] for part in parts))
    return text(joined), tuple(sorted(set(re.findall(r":(\w+)", joined))))


def _note(seen: Seen, part: str, a: str, b: str | None, m: int, n: int) -> None:
    match part:
        case "shop":
            seen.epoch = a
        case "newest":
            seen.newest = (m, a)
        case "lines":
            seen.lines, seen.backed_up_seq = m, n
        case "since":
            seen.at_since = a
        case "device":
            seen.devices[a] = Device(b is not None, m, n)
        case "last":
            seen.last[a] = max(m, n)
        case "behind":
            seen.behind.add(a)
        case "wanted":
            seen.wanted.append(a)
        case "held":
            seen.held[a] = (b, bool(m))
        case "same":
            seen.same[m].add(a)
        case "job":
            seen.jobs[a] = JobSeen(b, m, n)
        case "aside":
            seen.aside.add(a)
        case "photo":
            seen.photos.add(a)
        case "awaited":
            seen.awaited.add((b, a))
