"""Puts a photo into the store, re-encoded, under the name that the phone gave it. It asks nobody's leave."""

import hashlib

from server.pictures import Picture, re_encode
from server.store import Connection, photos


def name_of(content: bytes) -> str:
    """The name of a photo: the SHA-256 of the bytes that the phone has."""
    return hashlib.sha256(content).hexdigest()


def keep_photo(connection: Connection, pairing: str, content: bytes, now_ms: int) -> None:
    keep_picture(connection, pairing, name_of(content), re_encode(content), now_ms)


def keep_picture(connection: Connection, pairing: str, name: str, picture: Picture, now_ms: int) -> None:
    row = {
        "sha256": name,
        "etag": name_of(picture.content),
        "content": picture.content,
        "width": picture.width,
        "height": picture.height,
        "pairing": pairing,
        "received_ms": now_ms,
    }
    photos.add(connection, row)
