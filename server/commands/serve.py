"""`python -m server serve`: checks that everything is there, says where it serves, and serves (server/listen)."""

import os
import socket
import sys
from datetime import UTC, datetime
from pathlib import Path

from server import config, create_app
from server.commands import nightly
from server.keys import certificate
from server.listen import limits
from server.listen.parent import keep_serving
from server.store import FAULTS, Unreachable, shops
from server.store.not_writable import why_not_writable
from server.web.addresses import is_loopback
from server.web.errors import Problem
from server.web.health import notice_of


def serve(host: str, port: int, https: bool = False, backups: nightly.Plan | None = None) -> int:
    """Serve until the process is told to stop. Returns the exit status."""
    if not 1 <= port <= 65535:
        print(
            f"--port: expected a number from 1 to 65535, got {port}. Choose one, such as --port 8000.", file=sys.stderr
        )
        return 2
    try:
        listening = listen(host, port)
    except OSError as error:
        print(
            f"Cannot listen on {host}:{port}: {(error.strerror or str(error)).lower()}. Stop the program that uses it,"
            f" or choose another port: python -m server serve --port {port + 1}",
            file=sys.stderr,
        )
        return 1
    with listening:
        try:  # what is wrong with the store is said here, before anybody is answered
            shop, notice = _look_at_store()
            tls = _tls(host, https)
        except (Unreachable, NoCertificate) as error:
            print(error, file=sys.stderr)
            return 1
        if notice:
            print(notice, file=sys.stderr, flush=True)
        nightly.begin(backups, config.database_url(config.store_folder()), config.store_folder())
        return keep_serving(listening, tls, lambda: _greet(shop, "https" if tls else "http", host, port, backups))


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens there. OSError where somebody else does, or there is no such address."""
    family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    listening = socket.socket(family, kind, protocol)
    try:
        if os.name == "posix":  # elsewhere the option means sharing the port with whoever has it
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        elif hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        if family == socket.AF_INET6 and host == "::" and socket.has_dualstack_ipv6():
            listening.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        listening.bind(address)
        listening.listen(limits.WAITING)
    except OSError:
        listening.close()
        raise
    return listening


def _look_at_store():
    """Return the shop and what is to be said of its store, and leave it. Unreachable where nothing can be served."""
    try:
        app = create_app()
    except (*FAULTS, OSError, Unreachable) as error:
        if (reason := why_not_writable(error)) is None:
            raise
        raise Unreachable(f"The store {config.store_folder()} cannot be opened. {Problem(reason).text}") from error
    database = app.extensions["database"]
    with database.transaction() as connection:
        shop = shops.shop_row(connection)
    notice = notice_of(database)
    database.close()
    return shop, notice


class NoCertificate(Exception):
    """HTTPS was asked for by name, and there is nothing to do it with."""


def _tls(host: str, https: bool) -> tuple[Path, Path] | None:
    """Return certificate and key for HTTPS; none on loopback, where http is as safe, or where there are none."""
    store = config.store_folder()
    if https and not certificate.is_there(store):
        raise NoCertificate("--https needs a certificate. Make one first: python -m server certificate")
    if not https and (is_loopback(host) or not certificate.is_there(store)):
        return None
    try:
        if certificate.renew_if_old(store, datetime.now(UTC)):
            print("The certificate had grown old; a fresh one of the same authority is in use.", flush=True)
    except certificate.NoAuthority as trouble:
        print(trouble, file=sys.stderr, flush=True)
    files = certificate.paths(store)
    return files["server.crt"], files["server.key"]


def _greet(shop, scheme: str, host: str, port: int, backups: nightly.Plan | None) -> None:
    everywhere = host in ("0.0.0.0", "::")
    names = [host]
    if everywhere:
        is_https = scheme == "https"
        names = certificate.names_of(config.store_folder()) if is_https else certificate.names_of_this_machine()
    shown, *others = (f"[{name}]" if ":" in name else name for name in names)
    what = "the demo shop" if shop.demo else shop.name
    print(f"Tapermark serves {what} at {scheme}://{shown}:{port}/ (data: {config.store_folder()})", flush=True)
    if shop.demo:
        print(f"Open that address on this machine; the desk is at {scheme}://{shown}:{port}/desk/", flush=True)
        print("In the demo shop every browser on this machine counts as paired and as the owner.", flush=True)
    else:
        print(f"Sign in at the desk, {scheme}://{shown}:{port}/desk/, and pair the phones there.", flush=True)
    if others:
        print(f"The same at {', '.join(f'{scheme}://{name}:{port}/' for name in others)}", flush=True)
    if scheme == "https":
        print(f"Phones learn to trust it, once each, at {scheme}://{shown}:{port}/desk/certificate", flush=True)
    if scheme == "http" and not is_loopback(host) and config.proxies() == 0:
        print(
            "Phones and sign-in need HTTPS: run `python -m server certificate`, or put a reverse proxy in front and set"
            " TAPERMARK_PROXIES=1.",
            flush=True,
        )
    if not shop.demo and backups is None:
        print("No nightly backup is made here. For one, add --backups FOLDER, on another disk.", flush=True)
    print("Stop with Ctrl+C.", flush=True)
