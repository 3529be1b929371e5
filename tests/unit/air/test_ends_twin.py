"""The one pipe-end routine against a plain twin: wave relations and throat law as printed, a bracketing root finder."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.air.ends.kernels import pipe_end

GAMMA, R = 1.4, 287.05
CP = GAMMA * R / (GAMMA - 1)
CASES = np.random.default_rng(11).uniform(size=(300, 6))


def behind_wave(p, density, speed, pressure):
    """Speed and density behind the wave that brings the pipe's gas to pressure p."""
    sound = np.sqrt(GAMMA * pressure / density)
    if p > pressure:
        a, b = 2 / ((GAMMA + 1) * density), (GAMMA - 1) / (GAMMA + 1) * pressure
        ratio, k = p / pressure, (GAMMA - 1) / (GAMMA + 1)
        return speed - (p - pressure) * np.sqrt(a / (p + b)), density * (ratio + k) / (k * ratio + 1)
    ratio = (p / pressure) ** ((GAMMA - 1) / (2 * GAMMA))
    return speed - 2 * sound / (GAMMA - 1) * (ratio - 1), density * (p / pressure) ** (1 / GAMMA)


def throat(p0, t0, back):
    ratio = max(back / p0, (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1)))
    if ratio >= 1:
        return 0.0
    head = 2 * GAMMA / (GAMMA - 1) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA))
    return p0 / np.sqrt(R * t0) * np.sqrt(head)


def brought_to_rest(p, u, density):
    t = p / (R * density)
    t0 = t + u * u / (2 * CP)
    return p * (t0 / t) ** (GAMMA / (GAMMA - 1)), t0


def twin(density, speed, pressure, share, outer_pressure, outer_temperature):
    """Face pressure, speed and density; subsonic arrivals only."""
    wall = brentq(lambda p: behind_wave(p, density, speed, pressure)[0], 1e-3 * pressure, 50 * pressure, xtol=1e-9)

    def out(p):
        u, r = behind_wave(p, density, speed, pressure)
        return share * throat(*brought_to_rest(p, u, r), outer_pressure) - r * u

    def back_in(p):
        u, _ = behind_wave(p, density, speed, pressure)
        u = max(u, -np.sqrt(2 * GAMMA / (GAMMA + 1) * R * outer_temperature))
        return -p / (R * (outer_temperature - u * u / (2 * CP))) * u - share * throat(
            outer_pressure, outer_temperature, p
        )

    if wall > outer_pressure:
        sound = np.sqrt(GAMMA * pressure / density)
        sonic = pressure * ((2 + (GAMMA - 1) * speed / sound) / (GAMMA + 1)) ** (2 * GAMMA / (GAMMA - 1))
        lowest = max(sonic, outer_pressure)
        return lowest if out(lowest) >= -1e-9 * density * sound else brentq(out, lowest, wall, xtol=1e-9)
    return brentq(back_in, wall, outer_pressure, xtol=1e-9)


@pytest.mark.parametrize("draw", CASES[:60], ids=str)
def test_face_state_of_random_ends(draw):
    density, pressure = 0.4 + 1.6 * draw[0], 0.5e5 + 1.5e5 * draw[1]
    speed = 0.8 * (2 * draw[2] - 1) * np.sqrt(GAMMA * pressure / density)
    share, outer, warm = 0.05 + 0.95 * draw[3], pressure * (0.3 + 1.7 * draw[4]), 280 + 700 * draw[5]
    found_density, found_speed, found_pressure, enthalpy = pipe_end(density, speed, pressure, share, outer, warm)
    expected = twin(density, speed, pressure, share, outer, warm)
    assert found_pressure == pytest.approx(expected, rel=1e-6)
    sound = np.sqrt(GAMMA * pressure / density)
    if found_speed > 0:
        u, r = behind_wave(expected, density, speed, pressure)
        assert found_speed == pytest.approx(u, abs=1e-5 * sound)
        assert found_density == pytest.approx(r, rel=1e-6)
        assert enthalpy == pytest.approx(CP * found_pressure / (R * found_density) + found_speed**2 / 2, rel=1e-9)
    else:
        assert enthalpy == pytest.approx(CP * warm, rel=1e-9)


def test_an_open_end_leaving_stands_at_the_pressure_outside():
    _, _, pressure, _ = pipe_end(1.2, 40.0, 1.05e5, 1.0, 1.0e5, 300.0)
    assert pressure == pytest.approx(1.0e5, rel=1e-7)


def test_supersonic_arrival_into_low_pressure_goes_out_as_it_comes():
    state = (0.8, 600.0, 0.8e5)
    density, speed, pressure, _ = pipe_end(*state, 1.0, 0.2e5, 300.0)
    assert (density, speed, pressure) == pytest.approx(state, rel=1e-12)


@pytest.mark.parametrize("draw", CASES[60:], ids=str)
def test_no_end_gives_anything_but_sound_gas(draw):
    """Any speed to twice that of sound, any throat, pressures a hundredfold apart."""
    density, pressure = 0.05 + 4 * draw[0], 1e3 + 1e6 * draw[1]
    speed = 2.0 * (2 * draw[2] - 1) * np.sqrt(GAMMA * pressure / density)
    found = pipe_end(density, speed, pressure, draw[3] ** 2, 1e3 + 1e6 * draw[4], 250 + 2000 * draw[5])
    assert np.all(np.isfinite(found))
    assert found[0] > 0
    assert found[2] > 0
