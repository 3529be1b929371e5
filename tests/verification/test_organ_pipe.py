"""A pipe shut at one end and open at the other sounds at c / 4L.

Source: elementary acoustics, exact in the limit of small amplitude.
"""

import numpy as np
import pytest
from heard import frequency

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume

LENGTH, TEMPERATURE, PRESSURE = 0.3, 298.0, 101325.0


@pytest.mark.parametrize("cells", [30, 60])
def test_quarter_wave(cells):
    x = (np.arange(cells) + 0.5) * LENGTH / cells
    swing = PRESSURE + 100.0 * np.cos(0.5 * np.pi * x / LENGTH)
    pipe = Pipe(
        places=np.array([0.0, LENGTH]), area=np.full(2, 1e-3), cells=cells, low=End(), high=End(volume=0),
        pressure=swing, temperature=TEMPERATURE * (swing / PRESSURE) ** (0.4 / 1.4),
    )  # fmt: skip
    network, state = build([pipe], [Volume(pressure=PRESSURE, temperature=TEMPERATURE)])
    times = np.arange(1, 1001) * 1e-4
    heard = np.empty(times.size)
    for i, time in enumerate(times):
        advance(network, state, time, 0.0, 0.85)
        heard[i] = state.faces[0, 2] - PRESSURE
    assert frequency(times, heard) == pytest.approx(np.sqrt(1.4 * 287.05 * TEMPERATURE) / (4 * LENGTH), rel=1e-3)
