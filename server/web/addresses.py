"""What kind of address somebody comes from or was asked for. Pure."""

import ipaddress


def is_loopback(name: str) -> bool:
    """Tell whether a name or an address is this machine's own."""
    if name == "localhost":
        return True
    try:
        return ipaddress.ip_address(name).is_loopback
    except ValueError:
        return False


def host_name(host: str) -> str:
    """Return a Host header without its port."""
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.partition(":")[0]


def place_of(address: str) -> str:
    """Return what counts as one address: of IPv6 the network that one household or host gets."""
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return address[:45]
    if parsed.version == 4:
        return str(parsed)
    if parsed.ipv4_mapped:
        return str(parsed.ipv4_mapped)
    return str(ipaddress.ip_network((parsed, 64), strict=False))
