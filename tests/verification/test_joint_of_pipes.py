"""Waves and balances where pipes meet without a volume.

Sources: linear acoustics (Rayleigh, Theory of Sound, vol. 2): a small wave in pipe 1 goes on into the others with
2 A1 / (A1 + A2 + ...) of its height and comes back with that less 1; exact: mass, energy and burnt gas are kept.
"""

import numpy as np
import pytest

from tractwright.air.flow.kernels import PER_VOLUME
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe

REST, WARM, HEIGHT = 1.0e5, 300.0, 50.0


def star(areas, first: dict[str, object], cells=200, **others: object):
    """Pipes of a metre that meet with their high ends; the low ends are shut."""
    pipes = [
        Pipe(
            places=np.array([0.0, 1.0]), area=np.full(2, area), cells=cells, low=End(), high=End(joint=0),
            **(first if i == 0 else others),
        )
        for i, area in enumerate(areas)
    ]  # fmt: skip
    return build(pipes, [])


def pressure_of(state, network, k, hot):
    a, b = network.pipe_cells[k]
    density, momentum, energy, _ = state.conserved[:, a:b]
    return (1 / 3 if hot else 0.4) * (energy - 0.5 * momentum**2 / density)


@pytest.mark.parametrize("areas", [(1e-3, 1e-3), (1e-3, 1e-3, 1e-3), (1e-3, 0.4e-3, 2e-3), (1e-3, 5e-4, 5e-4, 5e-4)])
@pytest.mark.parametrize("hot", [False, True])
def test_a_small_wave_divides_by_area(areas, hot):
    gamma = 4 / 3 if hot else 1.4
    x = (np.arange(200) + 0.5) / 200
    shape = HEIGHT * np.exp(-(((x - 0.5) / 0.06) ** 2))
    sound, density = np.sqrt(gamma * 287.05 * WARM), REST / (287.05 * WARM)
    first = {
        "pressure": REST + shape,
        "temperature": WARM * (1 + (gamma - 1) / gamma * shape / REST),
        "speed": shape / (density * sound),
        "hot": hot,
    }
    network, state = star(areas, first, pressure=REST, temperature=WARM, hot=hot)
    advance(network, state, 0.9 / sound, 0.0, 0.85)
    passed = 2 * areas[0] / sum(areas)
    seen = [pressure_of(state, network, k, hot) - REST for k in range(len(areas))]
    for k in range(1, len(areas)):
        assert seen[k].max() / HEIGHT == pytest.approx(passed, rel=0.02)  # height lost on 0.9 m of 5 mm cells: 1 %
    back = seen[0][np.argmax(abs(seen[0]))]
    assert back / HEIGHT == pytest.approx(passed - 1, abs=0.02)


def test_nothing_is_lost_where_pipes_meet():
    """Fast, mixed, unequal gas for a tenth of a second."""
    draw = np.random.default_rng(3)
    pipes = [
        Pipe(
            places=np.array([0.0, 0.3]), area=np.full(2, draw.uniform(0.5e-3, 2e-3)), cells=30, low=End(),
            high=End(joint=i % 2), pressure=draw.uniform(0.5e5, 3e5), temperature=draw.uniform(280, 900), burnt=draw.uniform(),
        )
        for i in range(6)
    ]  # fmt: skip
    network, state = build(pipes, [])
    per_volume = network.shape[PER_VOLUME]
    sizes = np.divide(1.0, per_volume, out=np.zeros_like(per_volume), where=per_volume > 0)
    before = (state.conserved * sizes).sum(axis=1)
    advance(network, state, 0.1, 0.0, 0.85)
    after = (state.conserved * sizes).sum(axis=1)
    np.testing.assert_allclose(after[[0, 2, 3]], before[[0, 2, 3]], rtol=1e-12)
    assert np.all(state.conserved[[0, 2]] > 0)
