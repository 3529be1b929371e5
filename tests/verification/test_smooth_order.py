"""A simple wave, before it breaks, keeps its exact shape along straight characteristics: the error falls as h squared.

Source: exact implicit solution, u = u0(x - (u + c) t), c = c0 + (gamma - 1) / 2 u.
"""

import numpy as np
import pytest

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe

GAMMA, R, T0, P0 = 1.4, 287.05, 300.0, 1e5
LENGTH, SOUND = 1.5, np.sqrt(1.4 * 287.05 * 300.0)
END = 0.6 / SOUND
FINE = 16


def wave(x, height):
    return height * np.exp(-(((x - 0.4) / 0.06) ** 2))


def conserved_at(speed):
    ratio = 1.0 + 0.5 * (GAMMA - 1) * speed / SOUND
    pressure, density = P0 * ratio**7, P0 / (R * T0) * ratio**5
    return density, density * speed, pressure / (GAMMA - 1) + 0.5 * density * speed**2


def error(cells: int, height: float) -> float:
    x = (np.arange(cells * FINE) + 0.5) * LENGTH / (cells * FINE)
    pipe = Pipe(places=np.array([0.0, LENGTH]), area=np.full(2, 1e-3), cells=cells, low=End(), high=End())
    network, state = build([pipe], [])
    for row, values in enumerate(conserved_at(wave(x, height))):
        state.conserved[row, 1 : cells + 1] = values.reshape(cells, FINE).mean(axis=1)
    advance(network, state, END, 0.0, 0.85)
    foot = x - SOUND * END
    for _ in range(80):
        foot = x - (SOUND + 0.5 * (GAMMA + 1) * wave(foot, height)) * END
    exact = conserved_at(wave(foot, height))[0].reshape(cells, FINE).mean(axis=1)
    return float(np.abs(state.conserved[0, 1 : cells + 1] - exact).mean())


@pytest.mark.parametrize("height", [1.0, 20.0])
def test_second_order_on_a_smooth_wave(height):
    cells = np.array([100, 200, 400, 800])
    errors = [error(int(n), height) for n in cells]
    assert -np.polyfit(np.log(cells), np.log(errors), 1)[0] >= 1.8
