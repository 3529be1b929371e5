"""Sod's shock tube: the whole profile against the exact solution, whose star state is held to the published one.

Source: Sod (1978), J. Comput. Phys. 27:1; wave speeds and star values recomputed (data/gas_riemann.csv).
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe

GAMMA, R = 1.4, 287.05
LEFT, RIGHT = (1.0, 1e5), (0.125, 1e4)  # density, pressure: Sod's numbers with pressure x 1e5
END = 0.2 / np.sqrt(1e5)


def star_state() -> tuple[float, float]:
    def change(p, side):
        density, pressure = side
        sound = np.sqrt(GAMMA * pressure / density)
        if p > pressure:
            return (p - pressure) * np.sqrt(2 / ((GAMMA + 1) * density) / (p + (GAMMA - 1) / (GAMMA + 1) * pressure))
        return 2 * sound / (GAMMA - 1) * ((p / pressure) ** ((GAMMA - 1) / (2 * GAMMA)) - 1)

    p = brentq(lambda p: change(p, LEFT) + change(p, RIGHT), 1e4, 1e5, xtol=1e-8)
    return p, -change(p, LEFT)


def exact_density(place: np.ndarray) -> np.ndarray:
    """At x / t: fan, contact, shock."""
    p, u = star_state()
    sound = np.sqrt(GAMMA * LEFT[1] / LEFT[0])
    behind_fan = LEFT[0] * (p / LEFT[1]) ** (1 / GAMMA)
    tail = u - sound * (p / LEFT[1]) ** ((GAMMA - 1) / (2 * GAMMA))
    ratio, k = p / RIGHT[1], (GAMMA - 1) / (GAMMA + 1)
    behind_shock = RIGHT[0] * (ratio + k) / (k * ratio + 1)
    shock = np.sqrt(GAMMA * RIGHT[1] / RIGHT[0]) * np.sqrt(
        (GAMMA + 1) / (2 * GAMMA) * ratio + (GAMMA - 1) / (2 * GAMMA)
    )
    fan = LEFT[0] * np.maximum(2 / (GAMMA + 1) - k / sound * place, 1e-9) ** (2 / (GAMMA - 1))
    where = [place < -sound, place < tail, place < u, place < shock]
    return np.select(where, [np.full_like(place, LEFT[0]), fan, behind_fan, behind_shock], RIGHT[0])


def test_the_exact_star_state_is_the_published_one():
    p, u = star_state()
    assert p / 1e5 == pytest.approx(0.303130178, rel=1e-7)
    assert u / np.sqrt(1e5) == pytest.approx(0.927452620, rel=1e-7)


@pytest.mark.parametrize(("cells", "bar"), [(100, 0.0045), (200, 0.0025), (400, 0.0013)])
def test_density_profile(cells, bar):
    x = (np.arange(cells) + 0.5) / cells
    density, pressure = sod_start(x)
    pipe = Pipe(
        places=np.array([0.0, 1.0]), area=np.array([1e-3, 1e-3]), cells=cells, low=End(), high=End(),
        pressure=pressure, temperature=pressure / (R * density),
    )  # fmt: skip
    network, state = build([pipe], [])
    advance(network, state, END, 0.0, 0.85)
    fine = (np.arange(cells * 20) + 0.5) / (cells * 20) - 0.5
    expected = exact_density(fine / END).reshape(cells, 20).mean(axis=1)
    assert np.abs(state.conserved[0, 1 : cells + 1] - expected).mean() < bar


def sod_start(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    left = x < 0.5
    return np.where(left, LEFT[0], RIGHT[0]), np.where(left, LEFT[1], RIGHT[1])
