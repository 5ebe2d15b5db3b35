"""What a confirmed hold at the wheel has on record, in words: marks read off the rings, bolts tightened, their length,
spacers.

It hides nothing of what it does not know and never fails on it: an entry may come from another program. No Flask.
"""

# what stops the job, and is no confirmation
_REFUSED = {
    "short": "too short",
    "bottoms": "too long for the hole",
    "no-length": "no length holds and stays clear of the bottom",
    "weaker": "weaker than what was in",
    "gate": "rings cannot go in",
}
_UNITS = {"nm": "N m", "lbf-ft": "lbf ft"}


def done_words(body: dict) -> str:
    """Say what stands beside the confirmation, or nothing."""
    for key, words in _KNOWN.items():
        if key in body:
            try:
                return words(body)
            except (KeyError, TypeError, ValueError, AttributeError, IndexError):
                break  # not as this program writes it: the history has it whole
    return ""


def _read(body: dict) -> str:
    read = body["read"]
    return f"{read['letter']} on the rims, inner {read['inner']:d} meets outer {read['outer']:d}"


def _tightened(body: dict) -> str:
    """Such as "5 bolts one by one: 45 N m, 90 N m, 60°"."""
    count = len({touch["bolt"] for touch in body["bolts"]})
    return f"{count} bolts one by one: {', '.join(map(_stage, body['stages']))}"


def _stage(stage: dict) -> str:
    torque, angle = stage.get("torque"), stage.get("angle_deg")
    return f"{_number(angle)}°" if torque is None else f"{_number(torque)} {_UNITS[stage['unit']]}"


def _length(body: dict) -> str:
    return bolt_length(body["length"])


def bolt_length(length: dict) -> str:
    """Such as "new bolts, 45 mm, class 10.9; 14.2 mm screwed in"."""
    said = ["new bolts" if length["new"] else "bolts as before"]
    said += [f"{_number(length['length_mm'])} mm"] if length.get("length_mm") is not None else []
    said += [f"class {length['class']}"] if length.get("class") else []
    said += ["class cannot be read"] if length.get("class_unread") else []
    least, outcome = length.get("least_mm"), length.get("outcome")
    measured = " by measuring at the wheel" if outcome == "measured" else ""
    left = "" if least is None else f"; {_number(least)} mm screwed in{measured}"
    refused = f"; {_REFUSED[outcome]}" if outcome in _REFUSED else ""
    return ", ".join(said) + left + refused


def _spacers(body: dict) -> str:
    return "; ".join(_spacer(each) for each in body["spacers"])


def _spacer(each: dict) -> str:
    wanted = each.get("wanted_mm")
    room = "" if wanted is None else f", {_number(wanted)} mm wanted"
    return f"lug {each['lug']:d}: {_number(each['mm'])} mm{room}"


def _number(part) -> str:
    """TypeError, ValueError: no number."""
    if isinstance(part, bool):
        raise ValueError(part)
    return f"{part:.10g}"


_KNOWN = {"read": _read, "bolts": _tightened, "length": _length, "spacers": _spacers}
