"""The verbs of `python -m server` that look after the store. They print, and leave the work to the modules they call.

Results go to standard output, progress and refusals to standard error; the exit status is 0, or 1 where something is
wrong.
"""

import json
import sys
import time
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from server import config
from server.commands import nightly
from server.commands.backup import Trouble, make_backup
from server.commands.check import check
from server.commands.restore import restore
from server.context import clock_ms
from server.keys import certificate, shop_keys
from server.keys.private_folder import open_to_others
from server.store import FAULTS, Database, Unreachable, audit_lines, imports
from server.store.photo_files import FOLDER
from server.transfer.export import export
from server.transfer.import_file import counts_of, read_file, refused_of, take_in
from server.web.errors import Problem

_SAY_EVERY_S = 1


class ProgressLine:
    """Says how far long work has come, once a second; what is done sooner is done without a word."""

    def __init__(self, verb: str):
        self._verb, self._next = verb, time.monotonic() + _SAY_EVERY_S

    def __call__(self, done: int, total: int) -> None:
        if time.monotonic() >= self._next:
            self._next = time.monotonic() + _SAY_EVERY_S
            print(f"{self._verb}: {100 * done // max(total, 1)} %", file=sys.stderr, flush=True)


def run_backup(file: str | None) -> int:
    target = Path(file) if file else config.store_folder() / "backups" / nightly.name_of(datetime.now(UTC))
    with _store() as database:
        made = make_backup(database, target, clock_ms(), ProgressLine("backup"))
    keys = shop_keys.copy_keys(config.store_folder(), target.parent)
    print(f"{made.path}: {made.entries} entries, {made.photos} photos, {made.size / 1e6:.1f} MB, judged sound.")
    print(
        f"Photos new in {made.path.parent / FOLDER}: {made.brought}, {made.brought_bytes / 1e6:.1f} MB; all backups"
        " beside it share that folder."
    )
    print(
        f"The shop's keys, {keys} files: {target.parent / shop_keys.FOLDER}. Keep file and folders together on another"
        " disk, in another place: they hold all of the shop's records, and whoever has them can pretend to be the"
        " shop's server. Put it back with: restore"
    )
    if made.lost:
        print(
            f"WRONG: the store has lost the files of {len(made.lost)} photos, such as {made.lost[0]}, or they are"
            " spoilt. Everything else is in the backup. Phones that still have them are asked for them again; what"
            " older backups have of them stays there.",
            file=sys.stderr,
        )
    return 1 if made.lost else 0


def run_restore(file: str) -> int:
    folder = config.store_folder()
    aside = folder / f"before-restore-{_stamp()}.db"
    done = restore(config.database_url(folder), Path(file), aside, clock_ms(), ProgressLine("restore"))
    print(f"Restored: {done.entries} entries, {done.photos} photos, up to entry number {done.seq}.")
    if done.lost:
        print(
            f"The bytes of {done.lost} further photos were not beside the backup, or spoilt; phones are asked for them"
            f" again. If the folder {FOLDER} of this backup lies elsewhere, put it beside the file and restore again."
        )
    if done.kept_aside:
        print(f"What the store held before is kept in {done.kept_aside}; it can be restored in the same way.")
    for line in shop_keys.bring_keys(Path(file).parent, folder):
        print(line)
    print("Start the server. Every phone then sends again what this store lacks: let all of them sync.")
    print("People, passwords and pairings are those of the backup: end again whatever was ended since.")
    return 0


def run_check() -> int:
    with _store() as database:
        facts, wrong = check(database, clock_ms(), ProgressLine("check"))
    if paths := open_to_others(config.store_folder()):
        wrong.append(
            f"Other accounts of this machine may open {paths[0]}{f' and {len(paths) - 1} more' if paths[1:] else ''}."
            f" Start the server once, or as the owner of the files run: chmod -R go= {config.store_folder()}"
        )
    if certificate.is_there(config.store_folder()):
        facts.append(certificate_fact(config.store_folder(), datetime.now(UTC)))
    print("\n".join(facts))
    print("\n".join(f"WRONG: {line}" for line in wrong) if wrong else "All of it is as it was when it came.")
    return 1 if wrong else 0


def run_export(file: str | None) -> int:
    with _store() as database:
        with database.transaction() as connection:
            audit_lines.add(connection, "exported", audit_lines.COMMAND_LINE, "", file or "standard output", clock_ms())
        if file is None:
            number = export(database, sys.stdout, clock_ms(), ProgressLine("export"))
        else:
            with open(file, "x", encoding="utf-8") as out:
                number = export(database, out, clock_ms(), ProgressLine("export"))
    print(f"{number} job sheets written; their photos are in a backup.", file=sys.stderr)
    return 0


def run_import(file: str) -> int:
    exported = read_file(Path(file).read_bytes())
    with _store() as database:
        file_id = take_in(database, exported, audit_lines.COMMAND_LINE, "", clock_ms(), ProgressLine("import"))
        with database.transaction() as connection:
            row = imports.find(connection, file_id)
    outcome = json.loads(row.outcome)
    for what, verdict, number in counts_of(outcome):
        print(f"{what}, {verdict}: {number}")
    for part in (refused := refused_of(outcome)):
        print(f"refused: {part.get('id') or part.get('sha256') or 'no name'}: {part['text']}", file=sys.stderr)
    print(f"The desk shows it, with what was never saved as entries, at /desk/import/{file_id}")
    return 1 if refused else 0


def certificate_fact(store: Path, now: datetime) -> str:
    ends = certificate.ends(store)
    left = (ends - now).days
    renewed = "a running server renews it before" if left > 0 else "start the server, which renews it"
    return f"Certificate: good until {ends:%Y-%m-%d}, {left} days from now; {renewed}."


@contextmanager
def _store():
    """Open the store that is there; none is made by looking at it."""
    url = config.database_url(config.store_folder())
    database = Database(url)
    try:
        if database.sqlite_file is not None and not database.sqlite_file.exists():
            raise Trouble(
                f"There is no store at {database.sqlite_file}. Set TAPERMARK_STORE to its folder, or start the server."
            )
        yield database
    finally:
        database.close()


def _stamp() -> str:
    return datetime.now(UTC).strftime("%Y%m%d-%H%M%S")


def run(verb: str, file: str | None) -> int:
    """Run one verb and turn what stopped it into words."""
    try:
        if verb == "check":
            return run_check()
        verbs = {"backup": run_backup, "restore": run_restore, "export": run_export, "import": run_import}
        return verbs[verb](file)
    except (Trouble, Unreachable, Problem) as trouble:
        print(f"{verb}: {trouble}", file=sys.stderr)
    except FAULTS as error:
        why = " ".join(str(getattr(error, "orig", error)).split())
        print(f"{verb}: the database stopped it: {why}. Mend that, then try again.", file=sys.stderr)
    except FileExistsError as error:
        print(f"{verb}: {error.filename} is there already. Choose another name.", file=sys.stderr)
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        print(f"{verb}: {where}{error.strerror}. Mend that, or give another place, then try again.", file=sys.stderr)
    return 1
