"""Pipe flow with friction, no heat: a pipe of the published length for a Mach number chokes at its end at just that.

Source: data/gas_fanno.csv (f L* / D of Fanno flow, as in NACA Report 1135).
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume

ROWS = list(csv.DictReader((Path(__file__).parent / "data/gas_fanno.csv").read_text().splitlines()))
BORE, DARCY, CELLS = 0.03, 0.05, 200


@pytest.mark.parametrize("row", ROWS[2:], ids=lambda row: row["mach"])
def test_entry_mach_number_of_a_choked_pipe(row):
    length = float(row["friction_length"]) * BORE / DARCY
    pipe = Pipe(
        places=np.array([0.0, length]), area=np.full(2, np.pi / 4 * BORE**2), cells=CELLS, low=End(volume=0),
        high=End(volume=1), darcy=DARCY, pressure=8e4,
    )  # fmt: skip
    network, state = build([pipe], [Volume(pressure=1e5, temperature=300.0), Volume(pressure=1e4, temperature=300.0)])
    advance(network, state, 40.0 * length / 100.0, 0.0, 0.85)
    density, speed, pressure = state.faces[0]
    assert speed / np.sqrt(1.4 * pressure / density) == pytest.approx(float(row["mach"]), rel=0.02)
    flow = state.flux[0, 1 : CELLS + 2]
    np.testing.assert_allclose(flow, flow[0], rtol=1e-3)
