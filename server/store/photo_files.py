"""Pictures as files beside a SQLite database, each under the SHA-256 of its own bytes. It knows no table.

A picture is six hundred entries large: inside the database's file, whoever saves one would hold up those who save an
entry, and every backup would copy all of them. A file comes before the row that names it, and is never changed.
"""

import hashlib
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from server.store import files

FOLDER = "photos"
_PARTIAL = ".part"
_NAME = re.compile("[0-9a-f]{64}")


def beside(database: Path) -> "PhotoFiles":
    """Return where the pictures of a SQLite file lie, be it a store, what was kept aside of one, or a backup."""
    return PhotoFiles(database.parent / FOLDER)


def name_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


class PhotoFiles:
    def __init__(self, folder: Path):
        self.folder = folder

    def size(self, etag: str) -> int | None:
        """Return how many bytes it has; None where it is not here."""
        try:
            return self._path(etag).stat().st_size
        except FileNotFoundError:
            return None

    def read(self, etag: str) -> bytes | None:
        """Return the bytes as they are, be they right or not; None where there are none."""
        try:
            return self._path(etag).read_bytes()
        except FileNotFoundError:
            return None

    def is_sound(self, etag: str) -> bool:
        """Tell whether it is here and what it was."""
        content = self.read(etag)
        return content is not None and name_of(content) == etag

    def put(self, etag: str, content: bytes) -> None:
        """Keep it through a power cut; what is here already stays, unless it was spoilt."""
        if self.read(etag) == content:
            return

        def write(partial: Path) -> None:
            with open(partial, "r+b") as out:
                out.write(content)
                out.flush()
                os.fsync(out.fileno())

        self._make(etag, write)

    def bring(self, etag: str, source: "PhotoFiles") -> int | None:
        """Have it from another folder, as another name of the same file where one disk holds both. Returns the bytes
        that were new here; None where the other one has none that is sound. What is here is never replaced by that.
        """
        there, here = source.size(etag), self.size(etag)
        if there and there == here:
            return 0
        if not source.is_sound(etag):
            return None
        if self.is_sound(etag):
            return 0

        def copy(partial: Path) -> None:
            partial.unlink()
            try:
                os.link(source._path(etag), partial)
            except OSError:  # another disk, or one that knows no second names
                shutil.copyfile(source._path(etag), partial)
                partial.chmod(0o600)
                files.sync(partial)

        self._make(etag, copy)
        return there

    def set_spoilt_aside(self, due: set[str]) -> list[str]:
        """Read these again, and rename what is not what it was: it is brought anew."""
        spoilt = [etag for etag in sorted(due) if not self.is_sound(etag)]
        for etag in spoilt:
            path = self._path(etag)
            path.replace(path.with_suffix(".spoilt"))
        return spoilt

    def remove(self, etags: list[str]) -> None:
        for etag in etags:
            self._path(etag).unlink(missing_ok=True)

    def etags(self) -> Iterator[str]:
        for path in self.folder.glob("??/*.jpg"):
            if _NAME.fullmatch(path.stem):  # what somebody else has put there is not ours
                yield path.stem

    def _make(self, etag: str, fill) -> None:
        path = self._path(etag)
        if is_new := not path.parent.exists():
            for folder in (self.folder, path.parent):  # the mode given is not of parents made on the way
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, partial = tempfile.mkstemp(suffix=_PARTIAL, dir=path.parent)  # for its owner alone
        os.close(handle)
        try:
            fill(Path(partial))
            os.replace(partial, path)
        finally:
            with suppress(FileNotFoundError):  # another name of the same file is left where it was that already
                os.unlink(partial)
        for folder in (path.parent, *((path.parent.parent, self.folder.parent) if is_new else ())):
            files.sync(folder)

    def _path(self, etag: str) -> Path:
        return self.folder / etag[:2] / f"{etag}.jpg"
