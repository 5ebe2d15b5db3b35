"""Statistics against the NIST reference datasets, the GUM, and scipy. Source and mark beside each."""

import importlib.util
import json
import math
from dataclasses import replace
from pathlib import Path

import nist_data
import numpy as np
import pytest
from scipy import stats as scipy_stats

from calc.choose.chance import Fitted, covariance
from calc.choose.choose_input import Spread
from calc.numbers.least_squares import least_squares
from calc.numbers.sinusoid import fit_wave
from calc.numbers.stats import mean_of_readings, sd_of_mean
from calc.numbers.tail_chances import f_upper_two, t_two_sided
from calc.rings.rings import RingSet

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
CERTIFIED = 1e-9  # relative; the certified values have eleven to fifteen digits


def plain_sd(readings: list[float]) -> float:
    """Return the n - 1 standard deviation out of sd_of_mean: without a default spread only the readings count."""
    count = len(readings)
    return sd_of_mean(readings, 0.0) * math.sqrt((count + 3) * count / (count - 1))


@pytest.mark.parametrize(
    ("readings", "mean", "sd", "tolerance"),
    [
        # NIST StRD Michelso, READ: certified 299.8524 and 0.0790105478190518.
        (nist_data.michelso(), 299.8524, 0.0790105478190518, CERTIFIED),
        # NIST StRD Lew, READ: certified -177.435 and 277.332168044316.
        (nist_data.numbers(nist_data.LEW), -177.435, 277.332168044316, CERTIFIED),
        # NIST StRD NumAcc4, READ: exactly 10000000.2 and 0.1. Breaks a one-pass variance; doubles hold it to 1e-8.
        (nist_data.num_acc_4(), 10000000.2, 0.1, 1e-8),
        # GUM 4.4.3 (JCGM 100:2008): mean 100.145, s 1.489. The twenty readings are RECALLED.
        (
            nist_data.numbers(
                "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 "
                "100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72"
            ),
            100.145,
            1.488844,
            1e-6,
        ),
        # Shigley's Mechanical Engineering Design, table 8-14, p. 439, READ: preload in kN, mean 34.18, SD 2.88.
        (nist_data.numbers("30.3 32.5 32.5 32.9 32.9 33.8 34.3 34.7 37.4 40.5"), 34.18, 2.8813, 1e-4),
    ],
    ids=["michelso", "lew", "num-acc-4", "gum-4.4.3", "shigley-8-14"],
)
def test_mean_and_standard_deviation(readings, mean, sd, tolerance):
    assert mean_of_readings(readings) == pytest.approx(mean, rel=CERTIFIED)
    assert plain_sd(readings) == pytest.approx(sd, rel=tolerance)


def test_norris_line():
    """NIST StRD Norris, READ in the scipy wheel: intercept, slope, their standard errors and the residual SD."""
    folder = Path(importlib.util.find_spec("scipy").origin).parent
    path = folder / "stats/tests/data/nist_linregress/Norris.dat"
    y, x = np.loadtxt(path, skiprows=60).T
    fit = least_squares(np.column_stack([np.ones_like(x), x]), y)
    assert len(y) == 36
    assert fit.coefficients == pytest.approx([-0.262323073774029, 1.00211681802045], rel=CERTIFIED)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx([0.232818234301152, 0.429796848199937e-03], rel=CERTIFIED)
    assert fit.residual_sd == pytest.approx(0.884796396144373, rel=CERTIFIED)


def test_enso_three_waves():
    """NIST StRD ENSO, READ: with the two periods b4 and b7 fixed at their certified values the fit is linear.

    The residual SD counts the two periods as unknowns too, so it is taken over 159 degrees of freedom.
    """
    y = np.array(nist_data.numbers(nist_data.ENSO))
    x = np.arange(1, 169)
    turns = [2 * np.pi * x / period for period in (12, 44.311088700, 26.887614440)]
    fit = least_squares(np.column_stack([np.ones(168), *(f(t) for t in turns for f in (np.cos, np.sin))]), y)
    certified = [10.510749193, 3.0762128085, 0.53280138227, -1.6231428586, 0.52554493756, 0.21232288488, 1.4966870418]
    assert fit.coefficients == pytest.approx(certified, abs=1e-8)
    assert math.sqrt(float(fit.residuals @ fit.residuals) / 159) == pytest.approx(2.2269642403, rel=CERTIFIED)


def test_one_wave_is_the_sinusoid_of_enso():
    """The annual wave alone, fitted by fit_wave, against numpy's own least squares on the same 168 points."""
    y = np.array(nist_data.numbers(nist_data.ENSO))
    angle = 2 * np.pi * np.arange(1, 169) / 12
    wave = fit_wave(angle, y, 0.0)
    mean, cosine, sine = np.linalg.lstsq(np.column_stack([np.ones(168), np.cos(angle), np.sin(angle)]), y)[0]
    assert wave.mean == pytest.approx(mean, rel=CERTIFIED)
    assert wave.amplitude == pytest.approx(math.hypot(cosine, sine), rel=CERTIFIED)
    assert wave.peak_rad == pytest.approx(math.atan2(sine, cosine), rel=CERTIFIED)


def test_gum_thermometer_line():
    """GUM H.3 (JCGM 100:2008), data and results READ in MSLNZ/GTC docs/API/GUM_H3.rst.

    Intercept -0.1712(29), slope 0.00218(67), correlation -0.93, correction at 30 degrees -0.1494(41).
    """
    t = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]) - 20
    b = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])
    fit = least_squares(np.column_stack([np.ones(11), t]), b)
    (u_intercept, u_slope), (_, _) = np.sqrt(np.diag(fit.covariance)), fit.covariance[0]
    assert fit.coefficients == pytest.approx([-0.1712038, 0.0021827], abs=1e-7)
    assert (u_intercept, u_slope) == pytest.approx((0.0028776, 0.00066794), rel=1e-4)
    assert fit.covariance[0, 1] / u_intercept / u_slope == pytest.approx(-0.930430, abs=1e-6)
    at_30 = np.array([1.0, 10.0])
    assert float(at_30 @ fit.coefficients) == pytest.approx(-0.1494, abs=5e-5)
    assert math.sqrt(float(at_30 @ fit.covariance @ at_30)) == pytest.approx(0.0041, abs=5e-5)


def test_gum_end_gauge_budget():
    """GUM H.1 (JCGM 100:2008): an end gauge's six uncertainty components, READ in MSLNZ/GTC docs/API/GUM_H1.rst, in nm.

    Independent components add by squares: 31.7 COMPUTED from them, 32 printed. The same six, in mdeg, stand here for
    all that moves the toe of one wheel: reading, seat, thrust, a ring's taper, a ring's mark, the clock of the pair.
    """
    reading, seat, thrust, taper, mark, clock = 25, 16.599, 6.7, 5.8, 3.9, 2.88679
    rings = json.loads((FIXTURES / "demo" / "ring-sets" / "demo-40.json").read_text("utf-8"))
    for ring, thick_mark in (
        ("inner", 11),
        ("outer", 1),
    ):  # mark 1 at the top: a quarter turn away, and at the top
        rings[ring] |= {"thick_mark": thick_mark, "taper_mdeg": 1000}
    ring_set = RingSet.from_json(rings)
    inner = replace(ring_set.inner, taper_sd_mdeg=taper)
    outer = replace(ring_set.outer, taper_sd_mdeg=0)
    fitted = Fitted(replace(ring_set, inner=inner, outer=outer), 1, 1, (1000, 0))
    spread = Spread(
        camber_sd={"left": 0, "right": 0}, toe_sd={"left": reading, "right": 0}, thrust_sd=thrust,
        clock_sd_deg=math.degrees(clock / 1000), mark_sd_steps=mark / 1000 / outer.step_rad, seat_sd=seat,
    )  # fmt: skip
    toe_sd = math.sqrt(covariance(spread, {"left": fitted, "right": None})[1, 1])
    assert toe_sd == pytest.approx(math.hypot(reading, seat, thrust, taper, mark, clock), rel=1e-12)
    assert round(toe_sd, 1) == 31.7
    assert round(toe_sd) == 32


# Student t at 0.975, COMPUTED values that stand in every table of it.
STUDENT_975 = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 9: 2.262, 19: 2.093}


@pytest.mark.parametrize("dof", STUDENT_975)
def test_student_table(dof):
    assert t_two_sided(STUDENT_975[dof], dof) == pytest.approx(0.05, abs=3e-5)


@pytest.mark.parametrize("dof", [1, 2, 3, 7, 8, 31, 96, 197])
@pytest.mark.parametrize("t", [0.0, 0.4, 1.0, 2.7, 9.0])
def test_student_and_fisher_against_scipy(t, dof):
    assert t_two_sided(t, dof) == pytest.approx(2 * scipy_stats.t.sf(t, dof), abs=1e-12)
    assert f_upper_two(t, dof) == pytest.approx(scipy_stats.f.sf(t, 2, dof), abs=1e-12)
