"""What the touches on a picture of the fitted rings said, in the phone's own words. No Flask."""

from server.desk.words.phone_words import messages, say
from server.records.picture_reading import is_picture_read


def entry_of_reading(fold: dict, photo: dict) -> dict | None:
    """Return the entry of what was read off a photo, or None where nothing was, or people differ about it."""
    about = photo["body"].get("about") or ""
    live = fold["slots"].get(f"{about.rpartition('.')[0]}.picture.{photo['id']}", [])
    value = live[0]["body"].get("value") if len(live) == 1 else None
    return live[0] if is_picture_read(value) else None


def picture_words(read: dict) -> str:
    """Say a reading, such as "The picture agrees with the plan: OUTER ring, mark 19 at the line."."""
    said, ring = read["said"], say(f"picture.ring.{read['ring']}")
    marks = str(said["mark"]) if said["mark"] is not None else _either(said["between"] or [])
    if said["verdict"] == "agrees":
        return say("picture.agrees", ring=ring, mark=marks)
    if said["verdict"] == "cannot-tell":
        key = f"picture.why.{said['why']}"
        why = say(key if key in messages() else "picture.why.other", marks=marks)
        return say("picture.cannot-tell", ring=ring, why=why)
    if said["face"] == "other-way":
        found = say("picture.differs.face", ring=ring, looks=say(f"picture.looks.{said['looks']}"))
    else:
        found = say("picture.differs.mark", ring=ring, mark=marks, planned=_either(read["planned"]))
    return f"{found} {say('picture.differs.turn')}" if said["turn_deg"] else found


def _either(marks: list[int]) -> str:
    if len(marks) == 2:
        return say("picture.either", one=marks[0], other=marks[1])
    return str(marks[0]) if marks else ""
