"""`python -m server VERB`: serves the shop on this machine, or looks after its store. It only reads arguments."""

import argparse
import os
import sys
from datetime import time
from pathlib import Path

from server.commands.nightly import Plan
from server.commands.serve import serve
from server.commands.service import run_service
from server.commands.setup import run_certificate, run_password, run_renew_key, run_setup
from server.commands.store_verbs import run


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m server", description="The shop's Tapermark server.")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="verb")
    verb = verbs.add_parser("setup", help="make the shop and its owner's sign-in; asks what is missing")
    verb.add_argument("--shop", help="the shop's name")
    verb.add_argument("--owner", help="the owner's name, for signing in")
    verb.add_argument("--password-stdin", action="store_true", help="read the owner's password from standard input")
    verb = verbs.add_parser("certificate", help="make an authority and a certificate for HTTPS on the shop's network")
    verb.add_argument("--name", action="append", default=[], help="a further name or address of this machine")
    verb.add_argument("--new-authority", action="store_true", help="replace the authority; phones install it again")
    verb = verbs.add_parser("password", help="give an owner who forgot it another password, at the server's machine")
    verb.add_argument("name", nargs="?", help="whose (default: the only owner's)")
    verb.add_argument("--password-stdin", action="store_true", help="read the password from standard input")
    verbs.add_parser("renew-key", help="sign cookies with a fresh key from the next start on")
    verb = verbs.add_parser("serve", help="serve the phones and the desk")
    verb.add_argument("--host", default="127.0.0.1", help="address to listen on (default: %(default)s)")
    verb.add_argument("--port", type=int, default=8000, help="port to listen on (default: %(default)s)")
    verb.add_argument("--https", action="store_true", help="use the certificate on this machine's own address too")
    verb.add_argument("--store", help="the folder of the data (default: TAPERMARK_STORE, or .store here)")
    _take_nightly(verb)
    verb = verbs.add_parser("service", help="print what starts the server at boot: a systemd unit, or a Windows task")
    verb.add_argument("--host", default="0.0.0.0", help="address to listen on (default: %(default)s)")
    verb.add_argument("--port", type=int, default=8000, help="port to listen on (default: %(default)s)")
    verb.add_argument("--windows", action="store_true", help="the Windows task, also where this is no Windows")
    _take_nightly(verb)
    verb = verbs.add_parser("backup", help="copy the whole store into one file, while the server goes on")
    verb.add_argument("file", nargs="?", help="a new file (default: one named by the time, in backups/ of the store)")
    verb = verbs.add_parser("restore", help="put a backup in the place of the store; what was there is kept aside")
    verb.add_argument("file", help="the backup; one of a SQLite store fits a PostgreSQL, and the other way round")
    verb = verbs.add_parser(
        "export", help="write all job sheets as JSON; the format is described in server/transfer/export.py"
    )
    verb.add_argument("file", nargs="?", help="a new file (default: standard output)")
    verb = verbs.add_parser("import", help="take in a phone's file or an export, of any size, as the desk does")
    verb.add_argument("file", help="what a phone saved of what it could not send, or what `export` wrote")
    verbs.add_parser("check", help="read every entry and photo and say how the store stands")
    chosen = parser.parse_args(arguments)
    if chosen.verb == "setup":
        return run_setup(chosen.shop, chosen.owner, chosen.password_stdin)
    if chosen.verb == "certificate":
        return run_certificate(chosen.name, chosen.new_authority)
    if chosen.verb == "renew-key":
        return run_renew_key()
    if chosen.verb == "serve":
        if chosen.store:
            os.environ["TAPERMARK_STORE"] = chosen.store  # its worker is told so too
        return serve(chosen.host, chosen.port, chosen.https, _nightly(chosen))
    if chosen.verb == "service":
        arguments = ["--host", chosen.host, "--port", str(chosen.port)]
        if chosen.backups:
            at = "{:02}:{:02}".format(*chosen.backup_at)
            arguments += ["--backups", str(chosen.backups), "--backup-at", at, "--keep", str(chosen.keep)]
        return run_service(arguments, [chosen.backups] if chosen.backups else [], chosen.windows)
    if chosen.verb == "password":
        return run_password(chosen.name, chosen.password_stdin)
    return run(chosen.verb, getattr(chosen, "file", None))


def _take_nightly(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--backups", type=_folder, metavar="FOLDER", help="make a backup there each night; give another disk"
    )
    verb.add_argument(
        "--backup-at", type=_hour, default=(2, 30), metavar="HH:MM", help="by the shop's time (default: 02:30)"
    )
    verb.add_argument("--keep", type=_count, default=14, help="so many backups stay (default: %(default)s)")


def _nightly(chosen: argparse.Namespace) -> Plan | None:
    return Plan(chosen.backups, chosen.backup_at, chosen.keep) if chosen.backups else None


def _folder(text: str) -> Path:
    return Path(text).resolve()


def _hour(text: str) -> tuple[int, int]:
    try:
        at = time.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"expected a time such as 02:30, got '{text}'") from None
    return at.hour, at.minute


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and int(text) > 0):
        raise argparse.ArgumentTypeError(f"expected a number of backups from 1 on, got '{text}'")
    return int(text)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
