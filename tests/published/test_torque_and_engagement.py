"""The judgement of a torque, the nut factors and the wanted engagement against tables that other people printed.

None of these figures is worked out from what calc holds: a factor that is moved makes one of them red. READ: seen in
the source named. READ-2: in somebody's copy. RECALLED: from memory. COMPUTED: worked here from the formula named.
"""

import pytest

from calc.fit.engagement import WANTED_DIAMETERS
from calc.fit.threads import Thread
from calc.fit.torque import NUT_FACTOR_HIGHEST, NUT_FACTOR_LOWEST, judge_torque

# Largest torques in N·m for 0.9 of the yield point, friction 0.14, lightly oiled or greased, threads of DIN 13; (d, P)
# -> 8.8, 10.9, 12.9. READ: appendix 10 of an operating manual, sheet 11_0003_0507GB.
AT_FRICTION_0_14 = {
    (8, 1.25): (25, 36, 43), (10, 1.5): (49, 72, 84), (12, 1.75): (85, 125, 145), (14, 2): (135, 200, 235),
    (16, 2): (210, 310, 365), (8, 1): (27, 39, 46), (10, 1.25): (52, 76, 90), (12, 1.25): (93, 135, 160),
    (12, 1.5): (89, 130, 155), (14, 1.5): (145, 215, 255), (16, 1.5): (225, 330, 390),
}  # fmt: skip
# The same, friction 0.12. READ: safety chapter of another operating manual, table of screws and bolts, p. 8.
AT_FRICTION_0_12 = {
    (8, 1.25): (24, 34, 41), (10, 1.5): (48, 68, 81), (12, 1.75): (85, 120, 145), (14, 2): (135, 190, 230),
    (16, 2): (210, 290, 350),
}  # fmt: skip
# By hand, friction 0.125, engine oil; 8.8 and 10.9. READ: works standard MTN 5008, as an engine's manual prints it.
OILED = {
    (8, 1.25): (21, 31), (10, 1.5): (42, 60), (12, 1.75): (74, 100), (14, 2): (115, 160), (16, 2): (180, 250),
    (8, 1): (23, 32), (10, 1.25): (45, 63), (12, 1.25): (80, 110), (12, 1.5): (76, 105), (14, 1.5): (125, 180),
    (16, 1.5): (190, 270),
}  # fmt: skip
CLASSES = ("8.8", "10.9", "12.9")
PRINTED = [
    (name, size, property_class, torque)
    for name, table in (("0.14", AT_FRICTION_0_14), ("0.12", AT_FRICTION_0_12), ("oiled", OILED))
    for size, torques in table.items()
    for property_class, torque in zip(CLASSES, torques, strict=False)
]
# What a torque like those of friction 0.14 is multiplied by where zinc and wax meet plain steel: the least of the
# factors for coated and lubricated bolts and nuts. READ: buy-metric.com, guide to torque values.
SLIPPERIEST = 0.55
COARSE = [size for size in AT_FRICTION_0_14 if size in AT_FRICTION_0_12]


@pytest.mark.parametrize(("name", "size", "property_class", "torque"), PRINTED)
def test_a_printed_torque_is_usual(name, size, property_class, torque):
    assert judge_torque(torque, Thread(*size), property_class) == "usual", name


@pytest.mark.parametrize("size", AT_FRICTION_0_14)
@pytest.mark.parametrize("property_class", CLASSES)
def test_a_printed_torque_for_the_slipperiest_coating_is_usual_too(size, property_class):
    printed = AT_FRICTION_0_14[size][CLASSES.index(property_class)]
    assert judge_torque(SLIPPERIEST * printed, Thread(*size), property_class) == "usual"


@pytest.mark.parametrize("size", AT_FRICTION_0_14)
def test_a_torque_printed_for_a_higher_class_is_high(size):
    """Somebody reads the column beside: 8.8 would be taken beyond its proof load."""
    for printed in AT_FRICTION_0_14[size][1:]:
        assert judge_torque(printed, Thread(*size), "8.8") == "high"


@pytest.mark.parametrize(("small", "large"), [(0, 2), (1, 3), (1, 4)], ids=["M8-M12", "M10-M14", "M10-M16"])
@pytest.mark.parametrize("property_class", CLASSES)
def test_a_torque_printed_for_another_size_is_seen(small, large, property_class):
    """Two sizes away; from M12 to M16 it is just not seen, so that M16 is told from M10."""
    column, small, large = CLASSES.index(property_class), COARSE[small], COARSE[large]
    assert judge_torque(AT_FRICTION_0_14[small][column], Thread(*large), property_class) == "low"
    assert judge_torque(AT_FRICTION_0_14[large][column], Thread(*small), property_class) == "high"


# Pitch and d2 of the coarse threads (ISO 724), face of the head (ISO 4017, dw least), hole (ISO 273, medium): RECALLED.
HEADS = {
    8: (1.25, 7.188, 11.63, 9.0), 10: (1.5, 9.026, 14.63, 11.0), 12: (1.75, 10.863, 16.63, 13.5),
    14: (2.0, 12.701, 19.64, 15.5), 16: (2.0, 14.701, 22.49, 17.5),
}  # fmt: skip


def nut_factor(diameter: int, friction: float) -> float:
    """Return K = (0.16 P + 0.58 d2 u + u Dkm / 2) / d, one friction for thread and head, Dkm the mean of face and hole.

    The formula of VDI 2230, RECALLED; its three terms READ-2 in a public source file (after Kubler and Bulten).
    """
    pitch, d2, face, hole = HEADS[diameter]
    return (0.16 * pitch + 0.58 * d2 * friction + friction * (face + hole) / 4) / diameter


@pytest.mark.parametrize("diameter", HEADS)
def test_the_nut_factors_are_those_of_usual_friction(diameter):
    """VDI 2230, class B of friction: 0.08 to 0.16, RECALLED. COMPUTED: K of 0.114 to 0.123, and of 0.183 to 0.195."""
    assert nut_factor(diameter, 0.08) == pytest.approx(NUT_FACTOR_LOWEST, rel=0.08)
    assert nut_factor(diameter, 0.14) < NUT_FACTOR_HIGHEST < nut_factor(diameter, 0.16)


def test_the_nut_factors_are_the_ends_of_the_printed_list_but_for_bare_steel():
    """Shigley's table 8-15, READ-2 in a public file of references: nonplated black finish is the one above."""
    printed = {"black": 0.30, "zinc-plated": 0.20, "lubricated": 0.18, "cadmium-plated": 0.16, "anti-seize": 0.12}
    assert (printed["anti-seize"], printed["zinc-plated"]) == (NUT_FACTOR_LOWEST, NUT_FACTOR_HIGHEST)


# Least engagement in diameters by (metal, its tensile strength in MPa, class), coarse threads. READ-2: a maker's table
# F.039, "values determined from practical trials, M6 to M16", as two catalogues print it.
TRIED = {
    ("steel", 360, "8.8"): 1.0, ("steel", 500, "8.8"): 0.9, ("steel", 800, "8.8"): 0.8,
    ("steel", 500, "10.9"): 1.0, ("steel", 800, "10.9"): 0.9, ("steel", 800, "12.9"): 1.0,
    ("iron", 220, "8.8"): 1.0, ("iron", 220, "10.9"): 1.25, ("iron", 220, "12.9"): 1.4,
    ("aluminium", 180, "8.8"): 2.0,
}  # fmt: skip
# Where that table asks more than is wanted: hard bolts in soft steel or in soft aluminium. The setting knows neither.
ASKS_MORE = {
    ("steel", 360, "10.9"): 1.25, ("steel", 360, "12.9"): 1.4, ("steel", 500, "12.9"): 1.2,
    ("aluminium", 180, "10.9"): 2.5,
}  # fmt: skip


@pytest.mark.parametrize("case", TRIED)
def test_wanted_engagement_is_at_least_what_trials_showed(case):
    assert WANTED_DIAMETERS[case[0]] >= TRIED[case]


def test_wanted_engagement_is_not_more_than_the_most_that_trials_showed():
    """Far more would ask for bolts that no hole takes."""
    for metal, wanted in WANTED_DIAMETERS.items():
        most = max(diameters for (each, *_), diameters in (TRIED | ASKS_MORE).items() if each == metal)
        assert wanted <= 1.1 * most


def test_where_a_hard_bolt_in_soft_metal_needs_more_is_known():
    """This is no safety of the setting: it is what calc/fit/engagement.py says that it does not cover."""
    assert all(WANTED_DIAMETERS[metal] < diameters for (metal, *_), diameters in ASKS_MORE.items())


def test_wanted_engagement_in_aluminium_and_iron_is_at_least_a_manual_s():
    """READ: an engine maker's manual, general torque values: two diameters in aluminium, 1.25 in steel and iron."""
    assert WANTED_DIAMETERS["aluminium"] >= 2
    assert WANTED_DIAMETERS["iron"] >= 1.25
