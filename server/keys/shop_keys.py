"""The shop's keys beside a backup: the certificate with its authority, and the keys that sign the cookies.

With them another machine takes the place of a dead one: phones trust it as they did and stay paired. What is in a
backup opens the shop, so the folder is the owner's alone.
"""

import itertools
import os
from contextlib import suppress
from pathlib import Path

from server.keys import certificate, secret_key
from server.keys.private_folder import make_private

FOLDER = "keys"


def copy_keys(store: Path, beside: Path) -> int:
    """Copy the keys of the store folder into `beside`/keys, over the older ones; another shop's are set aside as
    keys-before-1 and so on. Returns how many files.
    """
    found = [path for path in (*certificate.paths(store).values(), store / secret_key.FILE) if path.exists()]
    if found and _are_anothers(beside / FOLDER, store):
        (beside / FOLDER).replace(_free(beside / f"{FOLDER}-before"))
    if found:
        make_private(beside / FOLDER)
    for path in found:
        _put(path.read_bytes(), beside / FOLDER / path.name)
    return len(found)


def _are_anothers(folder: Path, store: Path) -> bool:
    """Tell whether phones that know these keys do not know the store's, as of a store that was begun anew."""
    authority, cookies = folder / "authority.crt", folder / secret_key.FILE
    own, own_cookies = certificate.paths(store)["authority.crt"], store / secret_key.FILE
    if authority.exists() and not (own.exists() and own.read_bytes() == authority.read_bytes()):
        return True
    if not (cookies.exists() and own_cookies.exists()):
        return False
    return not set(cookies.read_text("utf-8").split()) & set(own_cookies.read_text("utf-8").split())


def _free(path: Path) -> Path:
    return next(free for k in itertools.count(1) if not (free := path.with_name(f"{path.name}-{k}")).exists())


def bring_keys(beside: Path, store: Path) -> list[str]:
    """Take the keys beside a backup into a store folder. Returns what was done, each as a line for people.

    A certificate of the store itself stays, and so does the key that signs; the backup's is believed as well.
    """
    source, done = beside / FOLDER, []
    if (source / secret_key.FILE).exists() and secret_key.believe(store, source / secret_key.FILE):
        done.append(
            "Phones that were paired and people who were signed in stay so: the backup's cookie keys are believed."
        )
    kept, own = {name: source / name for name in certificate.paths(store)}, certificate.paths(store)
    if not kept["authority.crt"].exists():
        return done
    if not own["authority.crt"].exists():
        make_private(own["authority.crt"].parent)
        for name, path in kept.items():
            if path.exists():
                _put(path.read_bytes(), own[name])
        done.append(
            "The certificate of the backup is in use: phones that trust it go on. Where this machine has another name"
            " or address, run: python -m server certificate"
        )
    elif own["authority.crt"].read_bytes() != kept["authority.crt"].read_bytes():
        done.append(
            "The certificate here is of another authority than the backup's, and stays. Phones that trust the backup's"
            f" do not trust it: to go on with theirs, move {own['authority.crt'].parent} away and restore again."
        )
    return done


def _put(content: bytes, target: Path) -> None:
    """Write a file that only its owner can read, whole or not at all."""
    partial = target.with_name(f"{target.name}.part")
    with suppress(FileNotFoundError):
        partial.unlink()
    with os.fdopen(os.open(partial, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(content)
    partial.replace(target)
