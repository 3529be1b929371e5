"""ASME B1.1: unified threads against an open package of thread strength and against the standard's own formulas."""

import pytest
from screw_thread_lib.data import ASME_UN_2A2B_dict

from tractwright.standards.threads import Thread, thread, threads

INCH = 25.4
UNIFIED = [item for item in threads() if item.system == "unified"]
IN_BOTH = [item for item in UNIFIED if item.designation.lstrip("#") in ASME_UN_2A2B_dict]


@pytest.mark.parametrize("held", IN_BOTH, ids=lambda held: held.designation)
def test_limits_of_the_thread_strength_package(held: Thread):
    """screw_thread_lib's ASME B1.1-2019 rows, printed to 0.0001 in."""
    theirs = ASME_UN_2A2B_dict[held.designation.lstrip("#")]
    ours = {
        "dmax": held.screw_major_max_mm,
        "dmin": held.screw_major_min_mm,
        "d2max": held.screw_pitch_max_mm,
        "d2min": held.screw_pitch_min_mm,
        "D1min": held.hole_minor_min_mm,
        "D1max": held.hole_minor_max_mm,
        "D2min": held.hole_pitch_min_mm,
        "D2max": held.hole_pitch_max_mm,
    }
    for key, value in ours.items():
        assert value / INCH == pytest.approx(theirs[key], abs=6e-5), key


def test_at_least_five_rows_are_compared():
    assert len(IN_BOTH) >= 5


@pytest.mark.parametrize("held", UNIFIED, ids=lambda held: held.designation)
def test_tolerances_follow_the_standards_formulas(held: Thread):
    """ASME B1.1 formulas, inches; they reproduce the rows of the package above, so they judge the rows it lacks.

    2A pitch tolerance T = 0.0015 d^(1/3) + 0.0015 sqrt(L) + 0.015 p^(2/3), L = d for coarse and fine series;
    allowance 0.3 T; 2A major 0.060 p^(2/3); 2B pitch 1.3 T. The table rounds to 0.0001.
    """
    d, p = held.major_mm / INCH, held.pitch_mm / INCH
    tolerance = 0.0015 * d ** (1 / 3) + 0.0015 * d**0.5 + 0.015 * p ** (2 / 3)
    allowance = 0.3 * tolerance
    pitch = held.hole_pitch_min_mm / INCH
    rounding = 1.1e-4
    assert held.screw_major_max_mm / INCH == pytest.approx(d - allowance, abs=rounding)
    assert held.screw_major_min_mm / INCH == pytest.approx(d - allowance - 0.060 * p ** (2 / 3), abs=rounding)
    assert held.screw_pitch_max_mm / INCH == pytest.approx(pitch - allowance, abs=rounding)
    assert held.screw_pitch_min_mm / INCH == pytest.approx(pitch - allowance - tolerance, abs=rounding)
    assert held.hole_pitch_max_mm / INCH == pytest.approx(pitch + 1.3 * tolerance, abs=rounding)
    assert held.hole_minor_min_mm / INCH == pytest.approx(d - 1.082532 * p, abs=6e-4)  # rounded to 0.001


def test_published_stress_areas():
    """ASME B1.1 stress areas, square inches, as printed in engineers' tables."""
    printed = {"#10-24": 0.0175, "#10-32": 0.0200, "1/4-20": 0.0318, "1/4-28": 0.0364, "5/16-18": 0.0524,
               "3/8-16": 0.0775, "7/16-14": 0.1063, "1/2-13": 0.1419}  # fmt: skip
    for name, area in printed.items():
        assert thread(name).stress_area_mm2 / INCH**2 == pytest.approx(area, abs=6e-5), name
