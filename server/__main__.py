"""`python -m server VERB`: serves the shop on this machine, or looks after its store. It only reads arguments."""

import argparse
import sys

from server.serve import serve
from server.setup import run_certificate, run_renew_key, run_setup
from server.verbs import run


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
    verbs.add_parser("renew-key", help="sign cookies with a fresh key from the next start on")
    verb = verbs.add_parser("serve", help="serve the phones and the desk")
    verb.add_argument("--host", default="127.0.0.1", help="address to listen on (default: %(default)s)")
    verb.add_argument("--port", type=int, default=8000, help="port to listen on (default: %(default)s)")
    verb.add_argument("--https", action="store_true", help="use the certificate on this machine's own address too")
    verb = verbs.add_parser("backup", help="copy the whole store into one file, while the server goes on")
    verb.add_argument("file", nargs="?", help="a new file (default: one named by the time, in backups/ of the store)")
    verb = verbs.add_parser("restore", help="put a backup in the place of the store; what was there is kept aside")
    verb.add_argument("file", help="the backup; one of a SQLite store fits a PostgreSQL, and the other way round")
    verb = verbs.add_parser("export", help="write all job sheets as JSON; the format is described in server/export.py")
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
        return serve(chosen.host, chosen.port, chosen.https)
    return run(chosen.verb, getattr(chosen, "file", None))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
