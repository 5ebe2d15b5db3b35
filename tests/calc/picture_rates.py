"""How often touches on pictures of known fittings are read right: the same count for the test and for the bench."""

from collections import Counter
from random import Random

from calc.picture.read_picture import read_picture
from calc.rings.rings import DIRECTIONS, FACES, marked_face
from tests.calc.rendered_rim import AWAY_MM, Seen, demo_ring

TURNS = [90.0, 180.0, 270.0]


def fitting(random: Random, marks: int, wrong: str = "", away_mm=AWAY_MM) -> tuple[Seen, dict, dict]:
    """Return (the picture, what is asked but the touches, what is true). `wrong`: "", "mark", "turn" or "face"."""
    ring = demo_ring(marks, random.choice(DIRECTIONS), random.choice(FACES))
    wheel, view = random.choice(("left", "right")), random.choice(("outside", "behind"))
    looks = marked_face(ring, wheel)
    if wrong == "face":
        looks = FACES[1 - FACES.index(looks)]
    is_to_viewer = (looks == "outboard") == (view == "outside")
    sense = 1 if is_to_viewer == (ring.direction == "clockwise") else -1
    planned, turn = random.randint(1, marks), 0.0
    off = 0
    if wrong == "mark":
        off = random.choice((-2, -1, 1, 2))
    if wrong == "turn":
        turn = random.choice(TURNS)
        off = round(turn / 360 * marks)
    at_line = 1 + (planned - 1 + off) % marks
    asked = {"ring": ring.to_json(), "wheel": wheel, "from": view, "planned": [planned], "turns": TURNS}
    return Seen(random, ring, at_line, sense, away_mm), asked, {"mark": at_line, "looks": looks, "is_turned": turn != 0}


def rates(count: int, marks: int, off_mm: float, wrong: str = "", slip: int = 0, away_mm=AWAY_MM) -> Counter:
    """Return how many of `count` pictures said what: `mark-right`, `mark-wrong`, `no-mark`, `turn-right`, `face-right`,

    `turn-wrong`, `face-wrong` (of those that said one), and each verdict.
    """
    random, tally = Random(f"18 {marks} {off_mm} {wrong} {slip}"), Counter()
    for _ in range(count):
        seen, asked, true = fitting(random, marks, wrong, away_mm)
        said = read_picture(asked | seen.touches(off_mm, slip))
        tally[said["verdict"]] += 1
        tally["no-mark" if said["mark"] is None else f"mark-{_word(said['mark'] == true['mark'])}"] += 1
        if said["looks"] is not None:
            tally[f"face-{_word(said['looks'] == true['looks'])}"] += 1
            tally[f"turn-{_word((said['turn_deg'] != 0) == true['is_turned'])}"] += 1
    return tally


def _word(is_right: bool) -> str:
    return "right" if is_right else "wrong"
