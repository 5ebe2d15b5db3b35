"""Reads the whole store and says in words how it stands. It changes nothing."""

import hashlib
import json
from collections.abc import Iterator

from server.records.entry_rules import digest_of
from server.store import Database, files, shops, store_checks
from server.transfer.progress import Progress

DAY_MS = 24 * 3600 * 1000


def check(database: Database, now_ms: int, progress: Progress) -> tuple[list[str], list[str]]:
    """Return (what there is, what is wrong), each as lines for people."""
    found, expected = database.revisions()
    facts = [f"Store: {database.shown}", f"Schema: revision {found or 'none'}, this program's is {expected}."]
    if found is None:
        return facts, ["The store is empty: no server was ever started on it. Start one, or restore a backup."]
    if found != expected:
        return facts, [f"The schema is not this program's. Start the server once: it brings {found} to {expected}."]
    wrong = list(_flaws_of_file(database))
    with database.snapshot() as connection:
        facts += [*_facts(connection), _backup_fact(connection, now_ms)]
        wrong += [*_wrong_counts(connection), *_wrong_contents(connection, progress)]
    return facts, wrong


def _flaws_of_file(database: Database) -> Iterator[str]:
    if database.sqlite_file is not None:
        yield from (f"The file is damaged: {flaw}." for flaw in files.flaws(database.sqlite_file))


def _facts(connection) -> Iterator[str]:
    shop = shops.shop_row(connection)
    yield f"Shop: {shop.name}{' (the demo)' if shop.demo else ''}. Epoch: {shop.epoch}."
    jobs, aside = store_checks.number_by(connection, "state"), store_checks.number_by(connection, "verdict")
    numbers = shops.numbers(connection)
    yield f"Job sheets: {sum(jobs.values())}{_listed(jobs)}."
    yield f"Entries: {numbers['entries']}. Set aside: {sum(aside.values())}{_listed(aside)}."
    megabytes = store_checks.bytes_of_photos(connection) / 1e6
    unnamed, unused = len(store_checks.photos_without_entry(connection)), store_checks.files_without_photo(connection)
    yield (
        f"Photos: {numbers['photos']}, {megabytes:.1f} MB. Named by an entry, not here yet:"
        f" {store_checks.photos_not_arrived(connection)}. Named by no entry: {unnamed}."
        f"{f' Files of no photo here, such as of a store kept aside: {unused}.' if unused else ''}"
    )


def _listed(numbers: dict[str, int]) -> str:
    return f" ({', '.join(f'{number} {name}' for name, number in numbers.items())})" if numbers else ""


def _backup_fact(connection, now_ms: int) -> str:
    last = shops.last_backup(connection)
    if last is None:
        return "Backup: none was ever made. Make one with: python -m server backup"
    days, since = (now_ms - last.made_ms) // DAY_MS, store_checks.entries_since(connection, last.seq)
    if days < -1:
        return (
            f"Backup: the newest is dated in the future; {since} entries have come since. Look at this machine's clock."
        )
    age = {-1: "less than a day", 0: "less than a day", 1: "a day"}.get(days, f"{days} days")
    return f"Backup: the newest is {age} old; {since} entries have come since."


def _wrong_counts(connection) -> Iterator[str]:
    highest, counted = store_checks.highest_seq(connection), shops.last_seq(connection)
    if highest > counted:
        yield f"Entries go to seq {highest}, but only {counted} were given out. Restore the newest backup."


def _wrong_contents(connection, progress: Progress) -> Iterator[str]:
    """Read every entry, photo and table, and compare it with the hash that was taken when it came."""
    numbers = shops.numbers(connection)
    total, done = numbers["entries"] + numbers["photos"], 0
    for row in store_checks.each_entry(connection):
        done += 1
        progress(done, total)
        if digest_of(_read(row.raw)) != row.digest:
            yield f"Entry {row.id} is not what it was when it came. Restore the newest backup that is sound."
    for name, rows in (("Photo", store_checks.each_photo(connection)), ("Table", store_checks.each_table(connection))):
        for row in rows:
            done += name == "Photo"
            progress(done, total)
            if row.content is None:
                yield f"The file of photo {row.sha256} is not in the store. Restore the newest backup that is sound."
            elif hashlib.sha256(row.content).hexdigest() != row.etag:
                yield f"{name} {row.sha256} is not what it was when it came. Restore the newest backup that is sound."


def _read(raw: str):
    try:
        return json.loads(raw)
    except ValueError:
        return None
