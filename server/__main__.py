"""`python -m server serve`: serves the shop on this machine. It only reads arguments and starts things."""

import argparse
import sys

from server.serve import serve


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m server", description="The shop's Tapermark server.")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="verb")
    verb = verbs.add_parser("serve", help="serve the phones and the desk")
    verb.add_argument("--host", default="127.0.0.1", help="address to listen on (default: %(default)s)")
    verb.add_argument("--port", type=int, default=8000, help="port to listen on (default: %(default)s)")
    chosen = parser.parse_args(arguments)
    return serve(chosen.host, chosen.port)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
