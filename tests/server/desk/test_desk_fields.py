"""What the desk says of measured facts that are more than a text: bolts, lugs, pressures, levels, torque."""

import pytest

from tests.server.phones import sheet_text as page

BOLTS = {"at": [[50, 0], [50, 90], [50, 180], [50, 270]], "thread": {"diameter_mm": 10, "pitch_mm": 1.5},
         "class": "10.9", "engaged_mm": 18, "metal": "steel"}  # fmt: skip
BRACKET = {"lugs": [[95, 70], [95, 110.5]], "stock": [{"thickness_mm": 2, "quantity": 10}], "engaged_mm": 16}

PRESSURES = {"unit": "bar", "placard": {"front": [2.3, 2.3], "rear": [2.1, 2.3]},
             "found": {"rear-left": 1.9, "rear-right": None}, "set": {"front": None, "rear": None}}  # fmt: skip

LENGTH = {"new": True, "length_mm": 45, "was_mm": 40, "class": "10.9", "least_mm": 14.25, "outcome": "fits"}


@pytest.mark.parametrize(
    ("slot", "value", "expected"),
    [
        ("vehicle.bolts", {"typed": {"layout": "circle"}, "bolts": BOLTS},
         "circle of 4, 100 mm; M10 x 1.5, class 10.9; screwed in 18 mm; into steel Ines"),
        ("vehicle.bolts", {"typed": {}, "bolts": {"at": []}}, "no bolt given Ines"),
        ("vehicle.bolts", {"typed": {}, "bolts": {"at": [[55, 45], [60, 200]], "turns": 12}},
         "2 bolts: 55 mm at 45°, 60 mm at 200°; screwed in 12 turns Ines"),
        ("vehicle.bracket-lugs", {"typed": {}, "bracket": BRACKET},
         "2 lugs: 95 mm at 70°, 95 mm at 110.5°; spacers in stock: 10 of 2 mm; screwed in 16 mm Ines"),
        ("vehicle.pressures-found", {"typed": {}, "pressures": PRESSURES},
         "placard: front 2.3, rear 2.1 to 2.3; found: rear left 1.9; in bar Ines"),
        ("fit.left.level-hanging", {"turn_deg": -1.2, "how": "sensor"}, "turned 1.2° towards the front Ines"),
        ("prepare.left.needs", {"room": {"least_mm": 3.5, "free": True}, "bolts": None},
         "room: (least_mm: 3.5; free: yes); bolts: none Ines"),
        ("fit.torque", {"text": "88", "unit": "nm", "source": "the book", "angle_deg": None}, "88 N m, from: the book"),
        ("choose.single-use", {"rings": "at-hand"}, ": At hand Ines"),
        ("round.1.fit.left.bolt-length", LENGTH | {"outcome": "short"},
         "new bolts, 45 mm, class 10.9; 14.25 mm screwed in; too short Ines"),
    ],
)  # fmt: skip
def test_what_a_field_holds_is_said_in_words(phone, job, slot, value, expected):
    phone.sync([phone.entry(job, "field-set", {"value": value}, slot)])
    shown = page(phone, job)
    assert expected in shown
    assert "{'" not in shown


@pytest.mark.parametrize(
    ("step", "recorded", "expected"),
    [
        ("read-back", {"read": {"letter": "L", "inner": 19, "outer": 21}},
         "hold confirmed: L on the rims, inner 19 meets outer 21 Ines"),
        ("tightened", {"bolts": [{"bolt": n, "stage": s} for s in (1, 2) for n in (1, 3, 2, 4)],
                       "stages": [{"torque": 45, "unit": "nm", "angle_deg": None},
                                  {"torque": None, "unit": None, "angle_deg": 60}]},
         "hold confirmed: 4 bolts one by one: 45 N m, 60° Ines"),
        ("bolt-length", {"length": LENGTH}, "hold confirmed: new bolts, 45 mm, class 10.9; 14.25 mm screwed in Ines"),
        ("bolt-length", {"length": {"new": False, "length_mm": None, "least_mm": 12, "outcome": "measured"}},
         "hold confirmed: bolts as before; 12 mm screwed in by measuring at the wheel Ines"),
        ("bolt-length", {"length": LENGTH | {"class": None, "class_unread": True}},
         "hold confirmed: new bolts, 45 mm, class cannot be read; 14.25 mm screwed in Ines"),
        ("spacers", {"spacers": [{"lug": 1, "wanted_mm": 4.6, "mm": 4.5}, {"lug": 2, "wanted_mm": None, "mm": 5}]},
         "hold confirmed: lug 1: 4.5 mm, 4.6 mm wanted; lug 2: 5 mm Ines"),
        ("read-back", {"read": "of another program"}, "hold confirmed Ines"),
    ],
)  # fmt: skip
def test_what_a_hold_has_on_record_is_said_in_words(phone, job, step, recorded, expected):
    phone.sync([phone.entry(job, "step-done", {"hold": True, **recorded}, f"round.1.fit.left.{step}")])
    assert expected in page(phone, job)


def test_old_rings_that_came_out_are_told_apart_from_what_was_fitted(phone, job):
    phone.sync([phone.entry(job, "step-done", {"hold": True}, "round.0.fit.left.hub-supported")])
    shown = page(phone, job)
    assert "Fit, old rings out" in shown
    assert "(left, old rings out) hold confirmed" in shown
    assert "round 0" not in shown
