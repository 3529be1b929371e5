"""Cusps, bending, undercuts and speeds of cutters against closed forms and a cutting-tool maker's general guidelines.

Scallop: exact circle geometry, and 0.0104 mm for R 3, s 0.5 as printed. Bending: cantilever, equivalent diameter 0.8 D
(Kops and Vo 1990, abstract). Speeds: 1/2 in at 1000 ft/min, three teeth of 0.004 in, a maker's guidelines.
"""

import numpy as np
import pytest

from tractwright.standards.cutting import (
    feed_mm_min,
    scallop_height_mm,
    spindle_rpm,
    stepover_mm,
    tip_deflection_mm,
    undercut_mm,
    wrap_angle_deg,
)


def test_scallop_of_a_6_mm_ball():
    assert scallop_height_mm(3.0, 0.5) == pytest.approx(0.01043, abs=1e-4)
    assert stepover_mm(5.0, 0.01) == pytest.approx(0.632, abs=1e-3)


@pytest.mark.parametrize(("radius", "height"), [(3.0, 0.005), (4.0, 0.02), (8.0, 0.05)])
def test_scallop_and_stepover_are_each_others_inverse_and_exact(radius, height):
    """Two circles a stepover apart cross that high: solved here as a polynomial, not by the formula."""
    step = stepover_mm(radius, height)
    crossing = min(np.roots([1.0, -2.0 * radius, (step / 2.0) ** 2]).real)
    assert crossing == pytest.approx(height, rel=1e-9)
    assert scallop_height_mm(radius, step) == pytest.approx(height, rel=1e-9)


@pytest.mark.parametrize(("times", "micrometres"), [(3, 6.2), (5, 28.8), (8, 117.9)])
def test_a_12_mm_cutter_bends(times, micrometres):
    """100 N at 3, 5 and 8 diameters of stick-out."""
    assert 1000.0 * tip_deflection_mm(12.0, 12.0 * times, 100.0) == pytest.approx(micrometres, abs=0.1)


def test_bending_goes_with_the_cube_of_the_stickout():
    """(8/3)^3 = 18.96."""
    ratio = tip_deflection_mm(12.0, 96.0, 100.0) / tip_deflection_mm(12.0, 36.0, 100.0)
    assert ratio == pytest.approx(18.96, abs=0.01)


@pytest.mark.parametrize(
    ("neck", "wrap", "reach"), [(0.7071, 270.0, 0.146), (0.5, 300.0, 0.25), (0.6428, 280.0, 0.179)]
)
def test_an_undercutting_ball(neck, wrap, reach):
    """Catalogue wraps of 270, 280 and 300 degrees, as shares of the diameter."""
    assert wrap_angle_deg(1.0, neck) == pytest.approx(wrap, abs=0.5)
    assert undercut_mm(1.0, neck) == pytest.approx(reach, abs=1e-3)


def test_speed_and_feed_of_a_half_inch_cutter():
    """1000 ft/min: 7640 rpm; three teeth of 0.004 in: 91.7 in/min."""
    rpm = spindle_rpm(1000.0 * 0.3048, 12.7)
    assert rpm == pytest.approx(7640.0, abs=1.0)
    assert feed_mm_min(rpm, 3, 0.004 * 25.4) / 25.4 == pytest.approx(91.7, abs=0.1)
