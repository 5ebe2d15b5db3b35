"""How the desk says angles and chances, and whether its colours can be read."""

import re
from pathlib import Path

import pytest

from server.desk.words import typed_words, words
from tests.server.phones import START_MS

ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize(
    ("mdeg", "quantity", "expected"),
    [(0, "toe", "0.00°"), (330, "toe", "0.33° toe\u2011in"), (-5, "camber", "0.01° top in"),
     (-4, "camber", "0.004° top in"), (664, "camber", "0.66° top out"), (-37.5, "thrust", "0.04° to the left"),
     (1000, "cross-camber", "1.00° more out on the left"), (None, "toe", "not read")],
)  # fmt: skip
def test_angles_in_words(mdeg, quantity, expected):
    assert words.angle(mdeg, quantity) == expected


@pytest.mark.parametrize(
    ("edges", "expected"),
    [([-1500, -500], "0.50° to 1.50° top in"), ([-50, 150], "0.05° toe\u2011out to 0.15° toe\u2011in"),
     ([None, -500], "0.50° top in, or further top in"), ([-1500, None], "1.50° top in, or further top out"),
     ([None, 200], "0.20° toe\u2011in, or further toe\u2011out"),
     ([0, 200], "0.00° to 0.20° toe\u2011in"), ([376, 376], "0.38° toe\u2011in"), (None, "none given")],
)  # fmt: skip
def test_a_window_says_its_way_once(edges, expected):
    is_camber = edges and (edges[1] or edges[0]) < 0
    assert words.window(edges, "camber" if is_camber else "toe") == expected


@pytest.mark.parametrize(
    ("mdeg", "edges", "expected"),
    [(-500, [None, -500], "inside"), (-499, [None, -500], "outside by 0.001°, too far top out"),
     (-9000, [None, -500], "inside"), (-9000, [-1500, None], "outside by 7.50°, too far top in"),
     (900, [-1500, None], "inside")],
)  # fmt: skip
def test_a_window_open_on_one_side_is_broken_on_the_other_alone(mdeg, edges, expected):
    assert words.standing(mdeg, edges, "camber") == expected


def typed(mdeg, text, unit, way, diameter=None):
    return {"mdeg": mdeg, "text": text, "unit": unit, "way": way, "diameter_mm": diameter}


@pytest.mark.parametrize(
    ("given", "expected"),
    [(typed(420, "25.2", "deg-min", "in"), "25.2' in"), (typed(333, "0 20", "deg-min", "in"), "0°20' in"),
     (typed(-239, "1/16 in", "inch", "out", 381), "1/16″ out at 381 mm"),
     (typed(-1500, "1,5°", "deg", "top-in"), "1,5° top in"),
     (None, "no angle")],
)  # fmt: skip
def test_what_was_typed_keeps_its_text_and_says_its_unit(given, expected):
    assert typed_words.angle(given) == expected


def test_a_typed_window_has_the_form_of_one_in_degrees():
    mm = [typed(150, "1.0", "mm", "in", 381), typed(376, "2.5", "mm", "in", 381)]
    assert typed_words.window(*mm, "toe") == "1.0 mm to 2.5 mm toe\u2011in at 381 mm"
    camber = [typed(-1500, "1.50", "deg", "top-in"), typed(-500, "0.50", "deg", "top-in")]
    assert typed_words.window(*camber, "camber") == "0.50° to 1.50° top in"
    assert typed_words.window(*camber, "unheard-of") == "1.50° top in to 0.50° top in"
    assert typed_words.window({"mdeg": 1, "text": "1", "unit": ["deg"]}, "2", "toe") == "1 to no angle"
    assert typed_words.window(mm[0], None, "toe") == "1.0 mm in at 381 mm, or further toe\u2011in"
    assert typed_words.window(None, camber[1], "camber") == "0.50° top in, or further top in"
    assert typed_words.window(None, None, "camber") == "no angle to no angle"
    assert typed_words.window(mm[0], typed(400, "0.40", "deg", "in"), "toe") == "1.0 mm in at 381 mm to 0.40° in"


@pytest.mark.parametrize(
    ("share", "expected"),
    [(0, "less than 1 in 20"), (0.06, "about 1 in 10"), (0.93, "about 9 in 10"), (0.96, "more than 19 in 20")],
)
def test_a_chance_is_never_said_to_be_certain(share, expected):
    assert words.chance(share) == expected


@pytest.mark.parametrize(
    ("at", "expected"),
    [("2026-09-21T13:30:00+01:00", "2026-09-21 13:30 +01:00"),
     ("2036-09-21T13:30:00+01:00", "2036-09-21 13:30 +01:00 (clock ahead)"),
     ("1970-01-01T00:00:00Z", "1970-01-01 00:00 UTC"),
     ("+012026-01-01T00:00Z", "+012026-01-01 00:00 UTC (clock ahead)"),
     ("-000001-01-01T00:00Z", "-000001-01-01 00:00 UTC"), ("2026-99-99T00:00Z", "2026-99-99 00:00 UTC (clock ahead)")],
)  # fmt: skip
def test_a_time_that_the_phone_cannot_have_had_is_marked(at, expected):
    assert words.phone_time(at, START_MS) == expected


def luminance(colour):
    """WCAG 2.2, relative luminance of an sRGB colour."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


TOKENS = ROOT / "pwa" / "css" / "tokens.css"


def test_every_text_colour_has_a_contrast_of_seven_to_one_light_and_dark():
    """Phone and desk alike: the tokens are both."""
    pairs = re.findall(r"--([\w-]+): var\(--light, (#\w{6})\) var\(--dark, (#\w{6})\);", TOKENS.read_text("utf-8"))
    assert len(pairs) == 7
    for theme in (1, 2):
        colours = {pair[0]: pair[theme] for pair in pairs}
        for ground in ("ground", "sheet"):
            for name in ("ink", "ink-soft", "act"):
                assert contrast(colours[name], colours[ground]) >= 7, (name, ground)
        assert contrast(colours["act-ink"], colours["act"]) >= 7


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_no_colour_stands_outside_the_tokens_that_phone_and_desk_share():
    """But the customer's report, which is paper whatever the theme, what lies on a button of an alarm, and what lies on
    a picture, dark under light to be seen on any.
    """
    files = [ROOT / "server" / "static" / "desk.css", *sorted((ROOT / "pwa" / "css").glob("*.css"))]
    coloured = {file.name for file in files if re.search(r"#[0-9a-fA-F]{3,8}\b", file.read_text("utf-8"))}
    assert coloured == {"tokens.css", "report.css", "layout.css", "picture.css"}
    assert 'href="/desk/static/tokens.css"' in (ROOT / "server" / "templates" / "base.html").read_text("utf-8")


def test_the_desks_shapes_are_the_phones():
    """Names differ where the desk has a word of its own for what the phone's shape says."""
    phone = (ROOT / "pwa" / "js" / "ui" / "parts" / "state-shape.js").read_text("utf-8").replace("OCTAGON", '""')
    phones = dict(re.findall(r"^  (\w+): (\[\[.*\]\]),$", phone, re.M))
    desk = (ROOT / "server" / "templates" / "shapes.html").read_text("utf-8")
    desks = dict(re.findall(r'^  "(\w+)": (\[\[.*\]\]),$', desk, re.M))
    assert len(desks) == 8
    for name, outline in desks.items():
        assert outline == phones[{"signed": "done", "erased": "refused"}.get(name, name)], name
