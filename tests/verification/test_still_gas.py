"""Gas at rest stays at rest in a pipe of any taper, with warm and cold gas in it, an open end and a small hole.

Source: exact: equal pressure everywhere moves nothing.
"""

import numpy as np

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume


def test_still_gas_in_a_tapered_pipe():
    x = np.linspace(0.0, 0.3, 301)
    bore = 0.06 - 0.1 * x + 0.004 * np.sin(60.0 * x)
    pipe = Pipe(
        places=x, area=np.pi / 4 * bore**2, cells=60, low=End(volume=0), high=End(volume=1, share_in=0.1, share_out=0.1),
        darcy=0.02, temperature=np.linspace(300.0, 500.0, 60),
    )  # fmt: skip
    network, state = build(
        [pipe],
        [Volume(pressure=101325.0, temperature=298.0), Volume(pressure=101325.0, temperature=600.0, size=1e-3)],
    )
    advance(network, state, 0.1, 0.0, 0.85)
    assert np.abs(state.conserved[1, 1:61] / state.conserved[0, 1:61]).max() <= 1e-9
