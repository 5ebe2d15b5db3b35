"""The fields of the ring-set forms, each under the path by which calc names it: what is asked, in which unit, and how.

It reads one field at a time; whether all of it makes a ring set is for calc to say.
"""

import re
from dataclasses import dataclass, replace

from calc.measure.measure import ROWS_SAY
from calc.numbers.errors import InputError
from calc.numbers.quantities import SIGN_WORDS
from calc.numbers.sides import RINGS
from calc.numbers.units import mdeg_from_text
from calc.rings.rings import DIRECTIONS, FACES, TAPER_MDEG_HIGH, TAPER_MDEG_LOW, TAPER_SD_MDEG_HIGH

SOURCES = {
    "data": "Its data",
    "thickness": "Thickness measured round the rims",
    "paper": "Rows of the rings’ own paper",
}
SOURCES_SAY = {
    "data": "The maker’s sheet says taper, thickest mark and sizes: copy them.",
    "thickness": "Measure each ring with a micrometer at six marks or more; taper and thickest mark follow.",
    "paper": "Type four rows or more of the paper that says which marks do what; the rings behind it follow.",
}


@dataclass(frozen=True)
class Field:
    """One field. `kind`: text, whole, number, degrees, choice or lines. `limits` of degrees in mdeg.

    `example`: what may be typed, named where nothing was; of a choice its choices are.
    """

    name: str
    label: str
    kind: str
    help: str = ""
    choices: tuple[str, ...] = ()
    limits: tuple[int, int] = (0, 0)
    may_be_empty: bool = False
    example: str = ""


_FACE_HELP = "Outboard is towards the person who fits it. On the left wheel it looks the other way."
_SHAPE = (
    Field("marks", "Marks round the rim", "whole", example="54"),
    Field("first_mark", "Lowest number on it", "whole", "0 or 1, as a rule", example="1"),
    Field("marked_face_right", "Marked face on the right wheel looks", "choice", _FACE_HELP, FACES),
    Field("outer_diameter_mm", "Outer diameter, mm", "number", example="148"),
    Field("bore_diameter_mm", "Bore, mm", "number", example="62"),
)
_DIRECTION = Field("direction", "Numbers rise, seen on the marked face", "choice", "", DIRECTIONS)
_DIRECTION_SEEN = replace(
    _DIRECTION, help="Look at the ring, not at the paper: a sign read the wrong way is found out by this"
)
_CENTRE = Field(
    "centre_thickness_mm", "Thickness at the centre, mm", "number", "The mean of thick and thin edge", example="2.4"
)
_TAPER = (
    Field(
        "taper_mdeg",
        "Taper, degrees",
        "degrees",
        "Such as 0.55",
        limits=(TAPER_MDEG_LOW, TAPER_MDEG_HIGH),
        example="0.55",
    ),
    Field(
        "taper_sd_mdeg",
        "Taper known to within, degrees",
        "degrees",
        "One standard deviation, from the maker’s tolerance or a measurement; 0 says that it is exact",
        limits=(0, TAPER_SD_MDEG_HIGH),
        example="0.008",
    ),
    Field(
        "thick_mark", "Mark at the thickest point", "number", "May lie between two marks, such as 12.5", example="12.5"
    ),
)
_READINGS = (
    Field("radius_mm", "Radius at which it was measured, mm", "number", example="70"),
    Field("tool_sd_mm", "Spread of the tool, mm", "number", "Empty: 0.005, a micrometer", may_be_empty=True),
    Field(
        "readings",
        "Readings, one to a line: mark, thickness in mm",
        "lines",
        "Six or more, spread round the rim",
        example="12 2.43",
    ),
)
PER_RING = {
    "data": (*_SHAPE, _DIRECTION, _CENTRE, *_TAPER),
    "thickness": (*_SHAPE, _DIRECTION, *_READINGS),
    "paper": (*_SHAPE, _DIRECTION_SEEN, _CENTRE),
}
# Never taken over from the other ring; beside a paper the way of the numbers is what somebody sees on each of them.
OWN_OF_EACH_RING = {"data": (), "thickness": ("readings",), "paper": ("direction",)}

OF_SET = (
    Field("name", "Name, as it is written on the rings or the box", "text", example="Workshop 54"),
    Field(
        "max_tilt_mdeg",
        "Most that a pair may tilt the hub, degrees",
        "degrees",
        "The maker’s limit; empty: none",
        limits=(1, 2 * TAPER_MDEG_HIGH),
        may_be_empty=True,
    ),
)
_STEP_HELP = "In the same unit, such as 0.05 or 5'; empty: worked out from the values"
OF_PAPER = (
    Field("rows_say", "A row says", "choice", "", ROWS_SAY),
    Field("units.camber", "Camber is printed in", "choice", "", ("deg", "deg-min")),
    Field("units.camber_positive", "Camber with plus, or without a sign, is", "choice", "", SIGN_WORDS["camber"]),
    Field("units.toe", "Toe is printed in", "choice", "", ("deg", "deg-min", "mm", "inch")),
    Field("units.toe_positive", "Toe with plus, or without a sign, is", "choice", "", SIGN_WORDS["toe"]),
    Field("units.camber_step", "Camber is printed in steps of", "text", _STEP_HELP, may_be_empty=True),
    Field("units.toe_step", "Toe is printed in steps of", "text", _STEP_HELP, may_be_empty=True),
    Field("units.diameter_mm", "Diameter that toe in mm or inches is meant at, mm", "number", "", may_be_empty=True),
    Field(
        "rows", "Rows, one to a line: inner mark, outer mark, camber, toe", "lines",
        "Four or more, as printed; semicolons between them where a value holds a blank", example="12 31 0.50 0.25",
    ),
)  # fmt: skip
CHOICE_WORDS = {"deg": "degrees", "deg-min": "degrees and minutes", "top-out": "top out", "top-in": "top in"} | {
    "effects": "what the pair does",
    "wanted-changes": "a wanted change, and the pair nearest to it",
}


def fields_of(source: str) -> list[Field]:
    """Return every field of a form under its full name, in the order in which it is asked."""
    rings = [_of_ring(ring, field) for ring in RINGS for field in PER_RING[source]]
    return [*OF_SET, *rings, *(OF_PAPER if source == "paper" else ())]


def _of_ring(ring: str, field: Field) -> Field:
    return Field(f"{ring}.{field.name}", *(getattr(field, part) for part in list(Field.__dataclass_fields__)[1:]))


def read_field(field: Field, text: str):
    """Return what was typed as calc takes it; an empty field that may be is None. Raises InputError."""
    if not text:
        if field.may_be_empty:
            return None
        raise InputError(field.name, _wanted(field), "nothing")
    match field.kind:
        case "whole":
            return _whole(field, text)
        case "number":
            return number_from(text, field.name, field.example or "12.5")
        case "degrees":
            return _degrees(field, text)
        case "lines":
            return [_parts(line) for line in text.splitlines() if line.strip()]
    return text


def _wanted(field: Field) -> str:
    """Return what belongs into a field that was left empty: its name with its unit, and an example or the choices."""
    if field.kind == "choice":
        return f"{field.label}: {', '.join(CHOICE_WORDS.get(choice, choice) for choice in field.choices)}"
    return f"{field.label}, such as {field.example}"


def _parts(line: str) -> list[str]:
    """Return the parts of a line, between semicolons or tabs where it has any, else between blanks."""
    parts = re.split(r"[;\t]", line) if re.search(r"[;\t]", line) else line.split()
    return [part.strip().rstrip(",") for part in parts]


def number_from(text: str, name: str, example: str = "12.5") -> float:
    """Return a decimal number with point or comma; no exponent, no thousands."""
    plain = text.replace(",", ".").replace("−", "-").strip()
    if not plain.lstrip("+-").replace(".", "", 1).isdecimal() or not plain.isascii() or len(plain) > 20:
        raise InputError(name, f"a number such as {example}", f"“{text}”")
    return float(plain)


def _whole(field: Field, text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise InputError(field.name, f"a whole number such as {field.example}", f"“{text}”")
    return int(text)


def _degrees(field: Field, text: str) -> int:
    low, high = field.limits
    mdeg = mdeg_from_text(text, "deg", None, field.name)
    if not low <= mdeg <= high:
        raise InputError(field.name, f"{low / 1000:g} to {high / 1000:g} degrees", f"“{text}”")
    return mdeg
