"""The depth at which a cutter begins to chatter: against its closed form and the equation of motion, stepped in time."""

from math import pi, sqrt

import numpy as np
import pytest

from tractwright.standards.chatter import Tip, least_limit_mm, limit_at_mm, teeth_in_cut

TIP = Tip(own_hz=800.0, stiffness_n_mm=8000.0, damping=0.03)
SPECIFIC = 800.0


def test_the_least_of_all_speeds_is_the_closed_form():
    """2 k z (1 + z) / K, of the least real part of one mode, -1/(4 k z (1 + z)): Tlusty and Polacek (1963). 0.618 mm here."""
    least = least_limit_mm(TIP, SPECIFIC, 1.0)
    assert least == pytest.approx(2.0 * 8000.0 * 0.03 * 1.03 / 800.0)
    found = min(limit_at_mm(TIP, SPECIFIC, 1.0, hertz) for hertz in np.linspace(20.0, 900.0, 400))
    assert found == pytest.approx(least, rel=2e-3)
    ratio = np.linspace(1.0, 2.0, 200_001)[1:]
    real = (1.0 / (8000.0 * (1.0 - ratio**2 + 0.06j * ratio))).real
    assert least == pytest.approx(-1.0 / (2.0 * SPECIFIC * real.min()), rel=1e-6)


def grown(deep_mm: float, tooth_hz: float) -> float:
    """How much a swing grows or dies over fifty teeth: m x'' + c x' + k x = -K b (x(t) - x(t - T)), Runge and Kutta's steps."""
    stiff, omega, delay = TIP.stiffness_n_mm, 2.0 * pi * TIP.own_hz, 1.0 / tooth_hz
    mass, damp, cut = stiff / omega**2, 2.0 * TIP.damping * stiff / omega, SPECIFIC * deep_mm
    steps = int(80 * TIP.own_hz / tooth_hz)
    dt, x, v = delay / steps, np.zeros(81 * steps + 1), 1.0

    def pull(at: float, speed: float, before: float) -> float:
        return (-damp * speed - stiff * at - cut * (at - before)) / mass

    for i in range(steps, 81 * steps):
        past, here = (x[i - steps], (x[i - steps] + x[i - steps + 1]) / 2.0, x[i - steps + 1]), x[i]
        k1, a1 = v, pull(here, v, past[0])
        k2, a2 = v + dt / 2 * a1, pull(here + dt / 2 * k1, v + dt / 2 * a1, past[1])
        k3, a3 = v + dt / 2 * a2, pull(here + dt / 2 * k2, v + dt / 2 * a2, past[1])
        k4, a4 = v + dt * a3, pull(here + dt * k3, v + dt * a3, past[2])
        x[i + 1], v = here + dt / 6 * (k1 + 2 * k2 + 2 * k3 + k4), v + dt / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
    return float(np.abs(x[-10 * steps :]).max() / np.abs(x[20 * steps : 30 * steps]).max())


@pytest.mark.parametrize("tooth_hz", [300.0, 500.0, 700.0])
def test_a_little_less_dies_away_and_a_little_more_grows(tooth_hz: float):
    limit = limit_at_mm(TIP, SPECIFIC, 1.0, tooth_hz)
    assert grown(0.95 * limit, tooth_hz) < 0.9
    assert grown(1.05 * limit, tooth_hz) > 1.1


def test_the_mean_number_of_teeth_in_a_cut():
    """A full slot holds half the teeth, half the width a quarter; a thin cut an arc of 2 sqrt(a)."""
    assert teeth_in_cut(4.0, 1.0) == pytest.approx(2.0)
    assert teeth_in_cut(4.0, 0.5) == pytest.approx(1.0)
    assert teeth_in_cut(2.0, 1e-4) == pytest.approx(2.0 * sqrt(1e-4) / pi, rel=1e-3)
