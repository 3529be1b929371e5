"""Piston, heat release and valves against closed forms."""

import numpy as np
import pytest
from scipy.integrate import trapezoid

from tractwright.air.cylinders.kernels import (
    BURN_LENGTH,
    BURN_START,
    BURNT,
    CYLINDER_COLUMNS,
    ENERGY,
    HEAT,
    HEAT_SLOPE,
    MASS,
    PRESSURE,
    SIZE,
    TALLY_COLUMNS,
    VOLUME_COLUMNS,
    burn,
    cylinder_volume,
    expand,
    heat_content,
    set_state,
    table_at,
    temperature_of,
)
from tractwright.air.engine import firing_phases
from tractwright.air.valves import ANGLES, Valves, effective_area, lift_share

VALVES = Valves(count=2, diameter=0.034, lift=0.0095, opens=-15.0, closes=235.0)


def test_volume_at_both_dead_centres_and_half_way():
    swept = np.pi / 4 * 0.086**2 * 0.086
    assert cylinder_volume(0.086, 0.086, 0.143, 0.0, 10.0, 0.0) == pytest.approx(swept / 9)
    assert cylinder_volume(0.086, 0.086, 0.143, 0.0, 10.0, 180.0) == pytest.approx(swept * 10 / 9)
    down = 0.143 + 0.043 - np.sqrt(0.143**2 - 0.043**2)  # crank square to the bore
    assert cylinder_volume(0.086, 0.086, 0.143, 0.0, 10.0, 450.0) == pytest.approx(swept / 9 + swept * down / 0.086)


@pytest.mark.parametrize("temperature", [250.0, 300.0, 700.0, 2400.0])
def test_heat_content_has_its_inverse(temperature):
    assert temperature_of(heat_content(temperature, HEAT_SLOPE), HEAT_SLOPE) == pytest.approx(temperature, rel=1e-12)


def filled(pressure=20e5, size=1e-4, temperature=700.0):
    volume = np.zeros(VOLUME_COLUMNS)
    volume[MASS], volume[SIZE], volume[PRESSURE] = pressure * size / (287.05 * temperature), size, pressure
    volume[ENERGY] = volume[MASS] * heat_content(temperature, 0.0)
    return volume


def test_all_fresh_charge_burns_once():
    row, tally, volume = np.zeros(CYLINDER_COLUMNS), np.zeros(TALLY_COLUMNS), filled()
    row[BURN_START], row[BURN_LENGTH], row[HEAT] = 340.0, 60.0, 2.8e6
    volume[BURNT] = 0.1 * volume[MASS]
    fresh = volume[MASS] - volume[BURNT]
    released = sum(burn(row, tally, volume, angle) for angle in np.arange(300.0, 450.0, 0.01))
    assert released == pytest.approx(fresh * 2.8e6, rel=1e-3)
    assert volume[BURNT] == pytest.approx(volume[MASS], rel=1e-3)


def test_slow_expansion_is_isentropic():
    """p V^gamma stays, with constant specific heat."""
    volume = filled()
    set_state(volume, 1.0, 0.0)
    for size in np.linspace(1e-4, 3e-4, 2001)[1:]:
        expand(volume, size, 0.0)
        set_state(volume, 1.0, 0.0)
    assert volume[PRESSURE] == pytest.approx(20e5 * 3.0**-1.4, rel=1e-5)


def test_lift_profile():
    share = lift_share(VALVES)
    assert share.max() == pytest.approx(1.0, abs=1e-4)
    is_open = share > 0
    assert is_open.sum() * 0.5 == pytest.approx(250.0, abs=1.5)
    assert trapezoid(share, ANGLES) / 250.0 == pytest.approx(3 * np.pi / 16, rel=1e-4)
    assert table_at(share[None, :], 0, 110.0) == pytest.approx(1.0, abs=1e-4)
    assert table_at(share[None, :], 0, -10.0) == table_at(share[None, :], 0, 710.0) > 0


def test_curtain_equals_the_valves_own_area_at_a_quarter_lift():
    """pi D L = pi D^2 / 4 at L = D / 4: there the effective area is the discharge coefficient of the disc."""
    quarter = Valves(count=1, diameter=0.034, lift=0.034 / 4, opens=0.0, closes=240.0)
    assert effective_area(quarter).max() == pytest.approx(0.575 * np.pi / 4 * 0.034**2, rel=1e-3)


def test_firing_is_even_and_in_order(make_sheet):
    phases = firing_phases(make_sheet(4).engine)
    assert phases == {1: 0.0, 3: 180.0, 4: 360.0, 2: 540.0}
