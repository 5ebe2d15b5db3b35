"""The shop's own time zone: the machine's, or the one that TAPERMARK_ZONE names. What people read is in it."""

import os
from datetime import UTC, date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

VARIABLE = "TAPERMARK_ZONE"


def zone() -> ZoneInfo | None:
    """Return the shop's zone; None is the machine's, as `datetime` takes it."""
    return _zone_of(os.environ.get(VARIABLE) or "")


@lru_cache(maxsize=8)
def _zone_of(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name) if name else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise SystemExit(
            f"{VARIABLE}: expected the name of a time zone, such as Europe/Madrid, got '{name}'. Correct it, or unset"
            " it: then the zone of this machine is the shop's."
        ) from None


def at(ms: int) -> datetime:
    return datetime.fromtimestamp(ms / 1000, UTC).astimezone(zone())


def shown(ms: int) -> str:
    """Return such as "2026-11-30 22:14 CET"."""
    return at(ms).strftime("%Y-%m-%d %H:%M %Z")


def day_of(ms: int) -> str:
    """Return the shop's day then, as 2026-11-30."""
    return at(ms).date().isoformat()


def begins_ms(day: date) -> int:
    """Return when that day begins in the shop."""
    return int(datetime(day.year, day.month, day.day, tzinfo=zone()).timestamp() * 1000)
