"""What a person typed into the search of job sheets, as the store looks for it, and the pages of what was found."""

from dataclasses import dataclass
from datetime import date, timedelta

from server import shop_time
from server.records.summary import registration_key, searchable
from server.store.search import Wanted

STATES = ("open", "stopped", "signed", "erased")
PER_PAGE = 50
_LONGEST = 200


@dataclass(frozen=True)
class Search:
    """The form as typed, and what was wrong with it: field -> words."""

    typed: dict[str, str]
    flaws: dict[str, str]
    wanted: Wanted
    page: int

    @property
    def is_empty(self) -> bool:
        return not any(self.typed.values())


def search_from(arguments) -> Search:
    """Read the query of the address. A date that is none is left out of the search and said so."""
    typed = {name: arguments.get(name, "").strip()[:_LONGEST] for name in ("find", "state", "from", "to")}
    flaws: dict[str, str] = {}
    first, last = (_day(typed, name, flaws) for name in ("from", "to"))
    if first and last and first > last:
        flaws["to"] = "The last day is before the first: expected the other way round. No day was looked for."
        first = last = None
    wanted = Wanted(
        words=searchable(typed["find"]).split(),
        key=registration_key(typed["find"]),
        state=typed["state"] if typed["state"] in STATES else None,
        first_day=first and first.isoformat(),
        last_day=last and last.isoformat(),
        from_ms=first and shop_time.begins_ms(first),
        until_ms=last and shop_time.begins_ms(last + timedelta(days=1)),
    )
    page = arguments.get("page", "")
    is_number = page.isascii() and page.isdigit() and len(page) < 7
    return Search(typed, flaws, wanted, max(1, int(page)) if is_number else 1)


def _day(typed: dict[str, str], name: str, flaws: dict[str, str]) -> date | None:
    if not typed[name]:
        return None
    try:
        day = date.fromisoformat(typed[name])
        for each in (day, day + timedelta(days=1)):
            shop_time.begins_ms(each)
    except (ValueError, OverflowError, OSError):
        flaws[name] = f"“{typed[name]}” is no day: expected one like 2026-11-25. It was left out of the search."
        return None
    return day
