"""A local authority and a certificate for this machine's names and addresses, because service workers need HTTPS.

The authority may speak only for private addresses, for names under .local and for the names it was made with: whoever
steals its key can pretend to be the shop's PC, and nobody else. Keys lie in the store's folder, readable by its owner
alone. It knows no Flask.
"""

import hashlib
import ipaddress
import os
import socket
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from server.keys.private_folder import make_private

FOLDER = "certificate"
_AUTHORITY_LASTS = timedelta(days=3650)
_LASTS = timedelta(days=820)  # phones of one large maker take no certificate of a local authority beyond 825 days
_RENEW_BEFORE = timedelta(days=60)
_SLACK = timedelta(days=1)  # a phone's clock may be behind
_PRIVATE = ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16",
            "::1/128", "fc00::/7", "fe80::/10")  # fmt: skip


class NotCovered(Exception):
    """A name for which the authority that is there may not speak."""


class NoAuthority(Exception):
    """The key of the authority that phones trust is not here."""


def paths(store: Path) -> dict[str, Path]:
    folder = store / FOLDER
    names = ("authority.crt", "authority.key", "server.crt", "server.key")
    return {name: folder / name for name in names}


def make(store: Path, names: list[str], now: datetime, new_authority: bool = False) -> None:
    """Make a certificate for these names and addresses, and the authority too where there is none.

    An authority that is there stays, so that phones which know it go on. Raises NotCovered.
    """
    files = paths(store)
    make_private(store)
    files["server.crt"].parent.mkdir(mode=0o700, exist_ok=True)
    if new_authority or not files["authority.key"].exists():
        _make_authority(files, names, now)
    authority, key = _read(files["authority.crt"]), _read_key(files["authority.key"])
    covered = may_speak_for(store, names)
    if outside := [name for name in names if name not in covered]:
        raise NotCovered(", ".join(outside))
    own_key = ec.generate_private_key(ec.SECP256R1())
    alternatives = x509.SubjectAlternativeName([_general_name(name) for name in names])
    usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
    built = (
        _begin("Tapermark server", authority.subject, own_key, now, _LASTS)
        .add_extension(alternatives, critical=False)
        .add_extension(usage, critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write_key(files["server.key"], own_key)
    files["server.crt"].write_bytes(_pem(built) + _pem(authority))  # last: a running server looks at its time


def _make_authority(files: dict, names: list[str], now: datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    title = f"Tapermark, {socket.gethostname()}, {now:%Y-%m-%d}"
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title[:64])])
    own = [x509.IPAddress(ipaddress.ip_network(network)) for network in _PRIVATE] + [x509.DNSName("local")]
    own += [_constraint(name) for name in names if not _is_covered(name, own)]
    usage = x509.KeyUsage(False, False, False, False, False, True, True, False, False)  # it signs certificates, no more
    built = (
        _begin(title, subject, key, now, _AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(own, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write_key(files["authority.key"], key)
    files["authority.crt"].write_bytes(_pem(built))


def _begin(title: str, issuer: x509.Name, key, now: datetime, lasts: timedelta) -> x509.CertificateBuilder:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title[:64])])
    builder = x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
    builder = builder.serial_number(x509.random_serial_number())
    return builder.not_valid_before(now - _SLACK).not_valid_after(now + lasts)


def renew_if_old(store: Path, now: datetime) -> bool:
    """Make a fresh certificate for the same names when the present one soon ends, or begins only later because a clock
    was ahead. Returns whether it did. Raises NoAuthority.
    """
    files = paths(store)
    present = _read(files["server.crt"])
    if present.not_valid_before_utc <= now and present.not_valid_after_utc - now > _RENEW_BEFORE:
        return False
    if not files["authority.key"].exists():
        raise NoAuthority(
            f"The certificate ends on {present.not_valid_after_utc:%Y-%m-%d} and cannot be renewed: the authority's key"
            f" is not at {files['authority.key']}. Put it back there, from the folder keys of a backup; a new authority"
            " would have to be installed on every phone."
        )
    make(store, names_of(store), now)
    return True


def ends(store: Path) -> datetime:
    """Return when the present certificate ends, with its zone."""
    return _read(paths(store)["server.crt"]).not_valid_after_utc


def is_there(store: Path) -> bool:
    return paths(store)["server.crt"].exists()


def names_of(store: Path) -> list[str]:
    """Return the names and addresses that the present certificate is for."""
    found = _read(paths(store)["server.crt"]).extensions.get_extension_for_class(x509.SubjectAlternativeName)
    return [str(name.value) for name in found.value]


def authority_der(store: Path) -> bytes:
    """Return the authority's certificate as phones take it."""
    return _read(paths(store)["authority.crt"]).public_bytes(serialization.Encoding.DER)


def fingerprint(der: bytes) -> str:
    """Return the SHA-256 of a certificate as phones show it: "A1 B2 ..."."""
    return hashlib.sha256(der).digest().hex(" ").upper()


def may_speak_for(store: Path, names: list[str]) -> list[str]:
    """Return those of the names that the authority which is there may speak for; all where there is none."""
    files = paths(store)
    if not files["authority.crt"].exists():
        return names
    constraints = _read(files["authority.crt"]).extensions.get_extension_for_class(x509.NameConstraints)
    return [name for name in names if _is_covered(name, constraints.value.permitted_subtrees)]


def names_of_this_machine() -> list[str]:
    """Return what this machine is called on its own network, its addresses, and loopback."""
    host = socket.gethostname().lower().rstrip(".")
    names = [host] if "." in host else [f"{host}.local", host]
    return list(dict.fromkeys([*names, *_own_addresses(), "localhost", "127.0.0.1", "::1"]))


def _own_addresses() -> list[str]:
    found = []
    for family, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))  # sends nothing; it only asks which of our addresses would be used
                found.append(probe.getsockname()[0])
        except OSError:
            continue
    return found


def _general_name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _constraint(name: str) -> x509.GeneralName:
    made = _general_name(name)
    return x509.IPAddress(ipaddress.ip_network(name)) if isinstance(made, x509.IPAddress) else made


def _is_covered(name: str, permitted: list[x509.GeneralName]) -> bool:
    made = _general_name(name)
    if isinstance(made, x509.IPAddress):
        networks = [p.value for p in permitted if isinstance(p, x509.IPAddress)]
        return any(made.value.version == n.version and made.value in n for n in networks)
    tails = [p.value for p in permitted if isinstance(p, x509.DNSName)]
    return any(name == tail or name.endswith(f".{tail}") for tail in tails)


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _read(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


def _read_key(path: Path):
    return serialization.load_pem_private_key(path.read_bytes(), password=None)


def _write_key(path: Path, key) -> None:
    """Write a key that only its owner can read, from its first byte on."""
    path.unlink(missing_ok=True)
    pem = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(pem)
