"""`setup`, `certificate`, `password` and `renew-key`: what an owner does once, at the server's own machine.

It asks, makes and prints. There is no default password and no way around giving one.
"""

import getpass
import sys
from datetime import UTC, datetime

from server import config
from server.auth import passwords, people
from server.context import clock_ms
from server.keys import certificate, secret_key
from server.store import Database, audit_lines, shops
from server.store import people as store_people
from server.web.errors import Problem


def run_setup(shop_name: str | None, owner: str | None, password_from_stdin: bool) -> int:
    """Make a shop with its owner in an empty store. Returns the exit status."""
    folder = config.store_folder()
    secret_key.secret_keys(folder)
    database = Database(config.database_url(folder))
    try:
        database.migrate()
        with database.transaction() as connection:
            shop = shops.shop_row(connection)
        if shop is not None:
            return _refuse(_there_is_one(shop.name, shop.demo, database.shown))
        shop_name = people.check_name(shop_name or _ask("Name of the shop: "))
        owner = people.check_name(owner or _ask("Your name, for signing in: "))
        password = _read_password(password_from_stdin)
        make_shop(database, shop_name, owner, password)
    except Problem as problem:
        return _refuse(problem.text)
    except (EOFError, KeyboardInterrupt):
        return _refuse("nothing was made: an answer is missing. Run it again, or give --shop, --owner and the password")
    finally:
        database.close()
    print(f"{shop_name} is set up, with {owner} as its owner.")
    print("For phones on the shop's own network, make a certificate: python -m server certificate")
    print("Then start the server: python -m server serve --host 0.0.0.0, and open /desk/ to sign in.")
    return 0


def make_shop(database: Database, shop_name: str, owner: str, password: str) -> None:
    """Make the shop and its owner in a migrated, empty database. Problem: `weak-password`."""
    passwords.check(password, owner, shop_name)
    hashed = passwords.hash_of(password)
    with database.alone() as connection:
        shops.add_shop(connection, shop_name, demo=False)
        store_people.add(connection, owner, people.key_of(owner), "owner", hashed, clock_ms())
        audit_lines.add(connection, "shop-made", owner, "", shop_name, clock_ms())


def _there_is_one(name: str, is_demo: bool, where: str) -> str:
    if is_demo:
        return (
            f"the store at {where} holds the demo shop. Stop the server and move its folder away, or set"
            " TAPERMARK_STORE to another folder; then run setup again"
        )
    return f"the store at {where} holds {name} already. Its owner adds people at /desk/people"


def _ask(question: str) -> str:
    if not sys.stdin.isatty():
        raise EOFError
    return input(question)


def _read_password(from_stdin: bool) -> str:
    if from_stdin:
        return sys.stdin.readline().rstrip("\r\n")
    if not sys.stdin.isatty():
        raise EOFError
    first = getpass.getpass("A password of at least 12 characters: ")
    if getpass.getpass("The same again: ") != first:
        raise Problem("passwords-differ")
    return first


def run_password(name: str | None, password_from_stdin: bool) -> int:
    """Give somebody another password. It asks for no old one: whoever can run this could read the store anyway."""
    folder = config.store_folder()
    database = Database(config.database_url(folder))
    try:
        if database.sqlite_file is not None and not database.sqlite_file.exists():
            return _refuse(f"there is no store at {database.sqlite_file}. Set TAPERMARK_STORE to its folder")
        database.migrate()
        with database.transaction() as connection:
            everybody = [row for row in store_people.everybody(connection) if row.ended_ms is None]
        found = [
            row for row in everybody if (row.role == "owner" if name is None else row.name_key == people.key_of(name))
        ]
        if len(found) != 1:
            return _refuse(f"expected the name of one who may sign in: {', '.join(row.name for row in everybody)}")
        row = found[0]
        people.set_password(database, row.id, _read_password(password_from_stdin))
        with database.transaction() as connection:
            audit_lines.add(connection, "password-set", audit_lines.COMMAND_LINE, "", row.name, clock_ms())
    except Problem as problem:
        return _refuse(problem.text)
    except (EOFError, KeyboardInterrupt):
        return _refuse(
            "nothing was changed: an answer is missing. Run it again, or give the password with --password-stdin"
        )
    finally:
        database.close()
    print(f"{row.name} has another password. Every browser where {row.name} was signed in has to sign in again.")
    return 0


def run_certificate(more_names: list[str], new_authority: bool) -> int:
    """Make the certificate that `serve` uses on the shop's network."""
    folder = config.store_folder()
    own = certificate.names_of_this_machine()
    kept = own if new_authority else certificate.may_speak_for(folder, own)
    names = list(dict.fromkeys([*more_names, *kept]))
    try:
        certificate.make(folder, names, datetime.now(UTC), new_authority)
    except certificate.NotCovered as error:
        return _refuse(
            f"the authority that is there may not speak for {error}. Leave the name out, or run it with"
            " --new-authority; every phone then has to install the new one"
        )
    except ValueError as error:
        return _refuse(f"a name cannot stand in a certificate ({error}). Give host names or addresses")
    print(f"A certificate for {', '.join(names)} lies in {folder / certificate.FOLDER}.")
    if left := [name for name in own if name not in names]:
        print(
            f"Not for {', '.join(left)}: the authority that phones trust may not speak for it. Phones use the others."
        )
    print("Fingerprint of its authority, to compare on each phone:")
    print(certificate.fingerprint(certificate.authority_der(folder)))
    print("Start the server with --host 0.0.0.0; phones find the authority at /desk/certificate.")
    return 0


def run_renew_key() -> int:
    """Put a fresh signing key in front of the old ones, which are still believed."""
    folder = config.store_folder()
    secret_key.renew(folder)
    print(f"A fresh key signs from the next start on: {folder / secret_key.FILE}")
    print("Nobody has to pair or sign in again. If a key may have become known, delete the file; then all have to.")
    return 0


def _refuse(text: str) -> int:
    print(f"{text[0].upper()}{text[1:]}{'' if text.endswith('.') else '.'}", file=sys.stderr)
    return 1
