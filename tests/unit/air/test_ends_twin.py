"""The one pipe-end routine against a plain twin: wave relations and throat law as printed, a bracketing root finder."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.air.ends.kernels import pipe_end
from tractwright.air.flow.kernels import COLD, HOT

R = 287.05
CASES = np.random.default_rng(11).uniform(size=(300, 6))


def behind_wave(p, density, speed, pressure, g):
    """Speed and density behind the wave that brings the pipe's gas to pressure p."""
    sound = np.sqrt(g * pressure / density)
    if p > pressure:
        a, b = 2 / ((g + 1) * density), (g - 1) / (g + 1) * pressure
        ratio, k = p / pressure, (g - 1) / (g + 1)
        return speed - (p - pressure) * np.sqrt(a / (p + b)), density * (ratio + k) / (k * ratio + 1)
    ratio = (p / pressure) ** ((g - 1) / (2 * g))
    return speed - 2 * sound / (g - 1) * (ratio - 1), density * (p / pressure) ** (1 / g)


def throat(p0, t0, back, g):
    ratio = max(back / p0, (2 / (g + 1)) ** (g / (g - 1)))
    if ratio >= 1:
        return 0.0
    head = 2 * g / (g - 1) * (ratio ** (2 / g) - ratio ** ((g + 1) / g))
    return p0 / np.sqrt(R * t0) * np.sqrt(head)


def brought_to_rest(p, u, density, g):
    t, heat = p / (R * density), g * R / (g - 1)
    t0 = t + u * u / (2 * heat)
    return p * (t0 / t) ** (g / (g - 1)), t0


def twin(density, speed, pressure, share, outer_pressure, outer_temperature, g):
    """Face pressure, speed and density; subsonic arrivals only."""
    heat = g * R / (g - 1)
    wall = brentq(lambda p: behind_wave(p, density, speed, pressure, g)[0], 1e-3 * pressure, 50 * pressure, xtol=1e-9)

    def out(p):
        u, r = behind_wave(p, density, speed, pressure, g)
        return share * throat(*brought_to_rest(p, u, r, g), outer_pressure, g) - r * u

    def back_in(p):
        u, _ = behind_wave(p, density, speed, pressure, g)
        u = max(u, -np.sqrt(2 * g / (g + 1) * R * outer_temperature))
        return -p / (R * (outer_temperature - u * u / (2 * heat))) * u - share * throat(
            outer_pressure, outer_temperature, p, g
        )

    if wall > outer_pressure:
        sound = np.sqrt(g * pressure / density)
        sonic = pressure * ((2 + (g - 1) * speed / sound) / (g + 1)) ** (2 * g / (g - 1))
        lowest = max(sonic, outer_pressure)
        return lowest if out(lowest) >= -1e-9 * density * sound else brentq(out, lowest, wall, xtol=1e-9)
    return brentq(back_in, wall, outer_pressure, xtol=1e-9)


@pytest.mark.parametrize("power", [COLD, HOT])
@pytest.mark.parametrize("draw", CASES[:60], ids=str)
def test_face_state_of_random_ends(draw, power):
    g = power / (power - 2)
    heat = g * R / (g - 1)
    density, pressure = 0.4 + 1.6 * draw[0], 0.5e5 + 1.5e5 * draw[1]
    speed = 0.8 * (2 * draw[2] - 1) * np.sqrt(g * pressure / density)
    share, outer, warm = 0.05 + 0.95 * draw[3], pressure * (0.3 + 1.7 * draw[4]), 280 + 700 * draw[5]
    found_density, found_speed, found_pressure, enthalpy = pipe_end(density, speed, pressure, share, outer, warm, power)
    expected = twin(density, speed, pressure, share, outer, warm, g)
    assert found_pressure == pytest.approx(expected, rel=1e-6)
    sound = np.sqrt(g * pressure / density)
    if found_speed > 0:
        u, r = behind_wave(expected, density, speed, pressure, g)
        assert found_speed == pytest.approx(u, abs=1e-5 * sound)
        assert found_density == pytest.approx(r, rel=1e-6)
        assert enthalpy == pytest.approx(heat * found_pressure / (R * found_density) + found_speed**2 / 2, rel=1e-9)
    else:
        assert enthalpy == pytest.approx(heat * warm, rel=1e-9)


def test_an_open_end_leaving_stands_at_the_pressure_outside():
    _, _, pressure, _ = pipe_end(1.2, 40.0, 1.05e5, 1.0, 1.0e5, 300.0, COLD)
    assert pressure == pytest.approx(1.0e5, rel=1e-7)


def test_supersonic_arrival_into_low_pressure_goes_out_as_it_comes():
    state = (0.8, 600.0, 0.8e5)
    density, speed, pressure, _ = pipe_end(*state, 1.0, 0.2e5, 300.0, COLD)
    assert (density, speed, pressure) == pytest.approx(state, rel=1e-12)


@pytest.mark.parametrize("draw", CASES[60:], ids=str)
def test_no_end_gives_anything_but_sound_gas(draw):
    """Any speed to twice that of sound, any throat, pressures a hundredfold apart."""
    density, pressure = 0.05 + 4 * draw[0], 1e3 + 1e6 * draw[1]
    speed = 2.0 * (2 * draw[2] - 1) * np.sqrt(1.4 * pressure / density)
    found = pipe_end(density, speed, pressure, draw[3] ** 2, 1e3 + 1e6 * draw[4], 250 + 2000 * draw[5], COLD)
    assert np.all(np.isfinite(found))
    assert found[0] > 0
    assert found[2] > 0
