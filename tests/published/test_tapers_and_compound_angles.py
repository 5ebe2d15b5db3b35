"""Tapers, compound angles and the sine bar, from handbooks. Each row names its source and mark."""

import math

import numpy as np
import pytest

from calc.numbers.units import text_from_mdeg
from calc.rings.rings import OUTBOARD, Ring, RingSet, effect_of_normal, matrix_of_ring, thickness
from fixtures.golden.choose_cases import ring

FOOT_MM = 304.8
INCH_MM = 25.4
PRINTED_SECONDS = 4.0  # the printed table is up to 3.4 seconds from exact

# Taper in inches per foot; "Table 13. Tapers per Foot and Corresponding Angles", anyflip.com/zwpy/mekr (a scanned
# handbook, title not seen), READ, included angle of a symmetric taper; flat wedge atan(t/12), COMPUTED.
TAPERS = [
    (1 / 16, (0, 17, 54), (0, 17, 54.29)),
    (1 / 8, (0, 35, 48), (0, 35, 48.51)),
    (3 / 16, (0, 53, 44), (0, 53, 42.63)),
    (1 / 4, (1, 11, 36), (1, 11, 36.56)),
    (3 / 8, (1, 47, 24), (1, 47, 23.68)),
    (1 / 2, (2, 23, 10), (2, 23, 9.40)),
]


def mdeg(angle) -> float:
    degrees, minutes, seconds = angle
    return 1000 * (degrees + minutes / 60 + seconds / 3600)


def one_ring(taper_mdeg: float, thick_mark: float = 1.0, marks: int = 36) -> Ring:
    return Ring(**{**ring(marks, 500, thick_mark, thickness=20.0), "taper_mdeg": taper_mdeg})


@pytest.mark.parametrize(("per_foot", "printed", "flat"), TAPERS)
def test_thickness_runs_by_the_taper_per_foot(per_foot, printed, flat):
    """A ring is a flat wedge: over one foot its thickness changes by the taper per foot."""
    for angle, tolerance_seconds in ((flat, 0.006), (printed, PRINTED_SECONDS)):
        both = RingSet("x", "X", 1, None, one_ring(mdeg(angle)), one_ring(1e-9))
        change_mm = thickness(both, 1, 1, FOOT_MM / 2, 0.0) - thickness(both, 1, 1, FOOT_MM / 2, math.pi)
        tolerance_mm = FOOT_MM * math.radians(tolerance_seconds / 3600) * 1.01
        assert change_mm == pytest.approx(per_foot * INCH_MM, abs=tolerance_mm)


def test_quarter_inch_per_foot_in_words():
    """1/4 in per foot is 1.1935 deg, 1 deg 11' 36": bbs.homeshopmachinist.net thread 14564, READ, WEB."""
    both = RingSet("x", "X", 1, None, one_ring(1193.5), one_ring(1e-9))
    change_mm = thickness(both, 1, 1, FOOT_MM / 2, 0.0) - thickness(both, 1, 1, FOOT_MM / 2, math.pi)
    assert change_mm / INCH_MM == pytest.approx(0.25, abs=2e-5)


# (A, B) -> compound angle C and its direction R, degrees; COMPUTED. tan R = tan B / tan A and tan C = tan A / cos R:
# Machinery's Handbook 31st ed., p. 121, READ (text only, figures not seen).
COMPOUND = [
    (1.0, 1.0, 1.414070, 45.0),
    (1.5, 0.75, 1.676898, 26.561124),
    (2.0, 1.0, 2.235705, 26.558068),
    (10.0, 15.0, 17.784244, 56.652635),
    (30.0, 45.0, 49.106605, 60.0),
]


@pytest.mark.parametrize(("camber", "toe", "compound", "direction"), COMPOUND)
def test_one_wedge_makes_a_compound_angle(camber, toe, compound, direction):
    """A single ring of taper C, thick point at clock R, shows A in the front view and B from above."""
    wedge = one_ring(1000 * compound, thick_mark=1.0 + direction / 10)  # 36 marks: ten degrees each
    normal = matrix_of_ring(wedge, 1) @ OUTBOARD
    assert np.degrees(effect_of_normal(normal)).tolist() == pytest.approx([camber, toe], abs=2e-6)


# Length of a sine bar, angle, height, all in inches and degrees; the height is L sin(angle), the same as toe over D.
SINE_BAR = [
    (5.0, 23 + 41 / 60, "2.008"),  # 2.0084: US Army TC 9-524 app. C, READ (the page drops the degree sign)
    (5.0, 34 + 25 / 60, "2.826"),  # Handbook of Machining and Metalworking Calculations ch. 4, READ
    (5.0, 27.0, "2.270"),  # higherprecision.com, sine bar FAQ, READ, WEB
]


@pytest.mark.parametrize(("length_in", "angle_deg", "height"), SINE_BAR)
def test_sine_bar_heights(length_in, angle_deg, height):
    shown = float(text_from_mdeg(round(1000 * angle_deg), "inch", length_in * INCH_MM))
    assert shown == pytest.approx(float(height), abs=0.0005)


# Disk tapers, Machinery's Handbook 31st ed., p. 701: two disks and their centre distance C give the included angle
# 2 asin((R - r) / C), so a foot of it grows by 24 tan(angle / 2).
DISKS = [
    (1.0, 1.5, 5.0, 1.201503),  # T = 1.2015 READ
    (1.25, 1.5, 4.001953, 0.75),  # C = 4.002 READ; also Jones, Turning and Boring
]


@pytest.mark.parametrize(("small", "large", "centres", "per_foot"), DISKS)
def test_disk_tapers_against_two_flat_wedges(small, large, centres, per_foot):
    """A symmetric taper is two flat wedges back to back; the thicknesses of a pair add."""
    half_deg = math.degrees(math.asin((large - small) / 2 / centres))
    both = RingSet("x", "X", 1, None, one_ring(1000 * half_deg), one_ring(1000 * half_deg))
    change_mm = thickness(both, 1, 1, FOOT_MM / 2, 0.0) - thickness(both, 1, 1, FOOT_MM / 2, math.pi)
    assert change_mm / INCH_MM == pytest.approx(per_foot, abs=1e-5)


def test_disk_taper_with_one_side_as_base():
    """Disks 2 and 3, centres 5: T = 2.4367 in/ft, the flat-wedge kind; same page, READ as "24367" (dot lost)."""
    angle_deg = math.degrees(2 * math.asin((3.0 - 2.0) / 2 / 5.0))
    both = RingSet("x", "X", 1, None, one_ring(1000 * angle_deg), one_ring(1e-9))
    change_mm = thickness(both, 1, 1, FOOT_MM / 2, 0.0) - thickness(both, 1, 1, FOOT_MM / 2, math.pi)
    assert change_mm / INCH_MM == pytest.approx(2.4367, abs=5e-5)
