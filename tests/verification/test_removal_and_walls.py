"""Removal rate, power and force of a cut, and thin walls, against published tables and closed forms; source beside each."""

from math import pi, sqrt

import pytest

from tractwright.job.shop_tables import Cutter, Shop
from tractwright.make.cutting import ball_rate, roughing, tooth_hz, turning, wall_bend_mm, wall_hz
from tractwright.reach.mills import mills_of


def shop_with(**given) -> Shop:
    return Shop.model_validate({"cutting_speed_m_min": 350, "spindle": "12000 rpm"} | given)


def cutter(kind: str, diameter: float, teeth: int) -> Cutter:
    return Cutter.model_validate(
        {"name": "c", "kind": kind, "diameter": diameter, "neck": diameter - 1, "stickout": 100, "teeth": teeth}
    )


@pytest.mark.parametrize(("inch", "rpm", "chip_in"), [(0.25, 15280, 0.002), (0.5, 7640, 0.004), (1.0, 3820, 0.007)])
def test_turns_and_chips_of_a_maker_s_guide(inch: float, rpm: float, chip_in: float):
    """A cutting-tool maker's general machining guidelines: turns at 1000 ft/min; the sheet's chip lies near the guide's."""
    shop = shop_with(cutting_speed_m_min=304.8, spindle="40000 rpm")
    turns, feed = turning(shop, mills_of(shop)[0], cutter("flat", 25.4 * inch, 3))
    assert turns == pytest.approx(rpm, rel=1e-3)
    assert feed / turns / 3 / 25.4 == pytest.approx(chip_in, rel=0.15)


def test_removal_is_width_times_depth_times_feed_and_power_is_the_table_s_energy():
    """Definition of the removal rate; Groover's table of unit power: 0.8 J/mm3 for aluminium alloys of 100 to 150 HB."""
    shop = shop_with(power_kw=50.0)
    cut = roughing(shop, mills_of(shop)[0], cutter("flat", 20, 3))
    feed = 350e3 / (pi * 20) * 3 * 0.008 * 20
    assert cut.removal_mm3_min == pytest.approx(8.0 * 12.0 * feed)
    assert cut.power_kw == pytest.approx(8.0 * 12.0 * feed / 60 * 0.8 / 1e3)
    assert cut.force_n * 350 / 60 == pytest.approx(cut.power_kw * 1e3)


def test_a_small_spindle_slows_the_cut_to_its_power():
    shop = shop_with(power_kw=1.0)
    assert roughing(shop, mills_of(shop)[0], cutter("flat", 20, 3)).power_kw == pytest.approx(0.8)


def test_a_ball_finishes_feed_times_the_step_between_its_ridges():
    """Exact circle geometry: ridges h stand where circles 2 sqrt(2 R h - h^2) apart cross."""
    shop = shop_with()
    step = 2 * sqrt(2 * 6 * 0.02 - 0.02**2)
    found = ball_rate(shop, mills_of(shop)[0], cutter("ball", 12, 2))
    assert found == pytest.approx(350e3 / (pi * 12) * 2 * 0.008 * 12 * step)


def test_wall_as_a_cantilever_strip():
    """Handbook cantilever F H^3 / (3 E I), the strip 2 H wide or as long as the wall is."""
    expected = 100 * 40**3 / (3 * 68.9e3 * 80 * 4**3 / 12)
    assert wall_bend_mm(100.0, 40.0, 4.0, 100.0) == pytest.approx(expected)
    assert wall_bend_mm(100.0, 40.0, 4.0, 50.0) == pytest.approx(expected * 80 / 50)


def test_a_wall_s_lowest_note():
    """Cantilever strip, root 1.8751 of the tables of beam roots: f = 1.8751^2 / 2 pi sqrt(D / rho t) / H^2."""
    stiffness = 68.9e9 * 0.004**3 / (12 * (1 - 0.33**2))
    expected = 1.8751**2 / (2 * pi) * sqrt(stiffness / (2700 * 0.004)) / 0.04**2
    assert wall_hz(40.0, 4.0) == pytest.approx(expected, rel=1e-3)


def test_teeth_come_round():
    assert tooth_hz(12000, 3) == 600.0
