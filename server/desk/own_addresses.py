"""Where a phone finds this server, as far as the request that asks can tell."""

from flask import current_app, request

from server.keys import certificate
from server.web.addresses import host_name, is_loopback


def is_only_here() -> bool:
    """Tell whether the page was opened at an address that only this machine's own browsers reach."""
    return not request.is_secure and is_loopback(host_name(request.host))


def addresses() -> list[str]:
    """Return the address that was asked for, unless it is loopback, then those of the certificate."""
    own = request.host_url.rstrip("/")
    found = [] if is_loopback(host_name(request.host)) else [own]
    store, port = current_app.config["STORE_FOLDER"], request.host.rpartition(":")[2]
    if request.is_secure and certificate.is_there(store) and port.isascii() and port.isdigit():
        names = [name for name in certificate.names_of(store) if not is_loopback(name)]
        found += [f"https://[{name}]:{port}" if ":" in name else f"https://{name}:{port}" for name in names]
    return list(dict.fromkeys(found)) or [own]
