"""What a running server does by itself each night: a backup into a folder, old ones taken away. And it renews the
certificate before that grows old.

It looks once a minute and goes by what lies in the folder, so a machine that was off at night makes up for it when it
comes on, and a clock that jumps makes one backup too many at most. An older one goes only when a new one is whole.
"""

import re
import sys
import threading
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from server import shop_time
from server.commands.backup import make_backup
from server.keys import certificate, shop_keys
from server.store import Database
from server.transfer.progress import unheard

_NAME = re.compile(r"tapermark-(\d{8}-\d{6})\.backup")
_STAMP = "%Y%m%d-%H%M%S"
_LOOK_S = 60
_AGAIN_S = 900  # after one that failed


@dataclass(frozen=True)
class Plan:
    """Where backups go, at which hour and minute of the shop's day, and how many stay."""

    folder: Path
    at: tuple[int, int]
    keep: int


def name_of(now: datetime) -> str:
    return f"tapermark-{now.astimezone(UTC):{_STAMP}}.backup"


def is_due(plan: Plan, now: datetime) -> bool:
    """Whether no backup was made since the last time for one. `now` has a zone."""
    local = now.astimezone(shop_time.zone())
    last = local.replace(hour=plan.at[0], minute=plan.at[1], second=0, microsecond=0)
    if last > local:
        last -= timedelta(days=1)
    return not any(last <= made <= now for made in map(_made, _backups(plan.folder)))


def back_up(plan: Plan, database_url: str, store: Path, now: datetime) -> str:
    """Make one, and take away all but the newest `keep`. Returns what to say. Raises Trouble, or what a store does.

    Only what it made itself, under such a name and not dated after now, goes.
    """
    shop_keys.copy_keys(store, plan.folder)  # first: what cannot be written there stops all of it
    database = Database(database_url)
    try:
        made = make_backup(database, plan.folder / name_of(now), int(now.timestamp() * 1000), unheard)
    finally:
        database.close()
    # One that a clock of years ahead has named is no newer one: it stays until its time has come.
    old = [path for path in _backups(plan.folder) if _made(path) <= now and path != made.path][: -plan.keep + 1 or None]
    for path in old:
        path.unlink()
    said = f"Backup {made.path}: {made.entries} entries, {made.photos} photos, {made.brought} of them new."
    said += f" {len(old)} older taken away." if old else ""
    if made.lost:
        said += f" WRONG: the store has lost the files of {len(made.lost)} photos; phones are asked for them again."
    return said


def _backups(folder: Path) -> list[Path]:
    """Those that were made under such a name, the oldest first."""
    return sorted(path for path in folder.glob("tapermark-*.backup") if _made(path))


def _made(path: Path) -> datetime | None:
    """Return when, by the name; None where it is the name of something else."""
    found = _NAME.fullmatch(path.name)
    try:
        return found and datetime.strptime(found[1], _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None


def begin(plan: Plan | None, database_url: str, store: Path) -> None:
    """Look after both for as long as this process lives."""
    threading.Thread(target=_go_on, args=(plan, database_url, store), name="nightly", daemon=True).start()


def _go_on(plan: Plan | None, database_url: str, store: Path) -> None:
    works = [lambda now: _renew(store, now), lambda now: _make_if_due(plan, database_url, store, now)]
    not_before = dict.fromkeys(works, 0.0)
    while True:
        for work in works:
            if time.monotonic() >= not_before[work] and not _try(work):
                not_before[work] = time.monotonic() + _AGAIN_S
        time.sleep(_LOOK_S)


def _try(work) -> bool:
    """Do it and say what came of it; whatever goes wrong must not end the nights that follow."""
    try:
        if said := work(datetime.now(UTC)):
            print(said, flush=True)
    except Exception as error:
        print(f"Nightly: {error} It is tried again in 15 minutes.", file=sys.stderr, flush=True)
        return False
    return True


def _renew(store: Path, now: datetime) -> str | None:
    if certificate.is_there(store) and certificate.renew_if_old(store, now):
        return "The certificate had grown old; a fresh one of the same authority is in use."
    return None


def _make_if_due(plan: Plan | None, database_url: str, store: Path, now: datetime) -> str | None:
    return back_up(plan, database_url, store, now) if plan and is_due(plan, now) else None
