"""What one run on a full disk showed, look by look, and what of it was lost or said untruly."""

from dataclasses import dataclass, field

SENT = "Everything is sent"
_READY = "Ready without network"
_LOST = "has lost what it stored"


@dataclass
class Look:
    """What was found: `words` is None where the program did not come, `notes` where nothing could be read."""

    when: str
    saved: int  # so many notes had been shown as saved
    words: str | None
    notes: list | None = None
    photos: list | None = None
    files: int = 0
    why: str = ""  # the program did not come, or nothing could be read


@dataclass
class Run:
    kept: bool
    way: str
    saved: list = field(default_factory=list)  # notes that were shown as saved
    photos: list = field(default_factory=list)  # photos that were saved
    sent: int = 1  # so many of both were at the shop before the network went
    refused: list = field(default_factory=list)  # what was said where a note was not saved
    looks: list = field(default_factory=list)
    notes_at_shop: list = field(default_factory=list)
    photos_at_shop: list = field(default_factory=list)
    files: int = 0  # of the program, while all was well

    def look(self, when: str) -> Look | None:
        return next((look for look in self.looks if look.when == when), None)

    def is_whole(self, look: Look) -> bool:
        """The database holds all that had been shown as saved."""
        return look.notes is not None and set(self.saved[: look.saved]) <= set(look.notes)

    @property
    def is_told(self) -> bool:
        return any(look.words and _LOST in look.words for look in self.looks)

    @property
    def lost_notes(self) -> int:
        """Shown as saved, and neither on the phone nor at the shop in the end."""
        return len(set(self.saved) - set(self.notes_at_shop))

    @property
    def lost_photos(self) -> int:
        return len(set(self.photos) - set(self.photos_at_shop))

    @property
    def lies(self) -> list[str]:
        """What a screen said and was not so."""
        found = [] if self.is_told or self.lost_notes + self.lost_photos == 0 else ["a loss that nobody was told of"]
        for now, later in zip(self.looks, [*self.looks[1:], None], strict=True):
            if now.words and SENT in now.words and now.when != "at the shop" and now.saved > self.sent:
                found.append(f"{now.when}: {SENT}")
            if now.words and _READY in now.words and later and later.words is None:
                found.append(f"{now.when}: {_READY}, and it did not start")
            if now.words and _READY in now.words and now.notes is None:
                found.append(f"{now.when}: {_READY}, and the store cannot be read")
        return found
