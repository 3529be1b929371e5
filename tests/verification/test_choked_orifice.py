"""Mass flow of throats, choked and not, by themselves and at the end of a pipe; pressures in a smooth nozzle.

Source: data/gas_orifice.csv and data/gas_isentropic.csv (isentropic flow; NACA Report 1135 holds the same functions).
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.ends.kernels import throat_flux
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe, Volume

DATA = Path(__file__).parent / "data"
ORIFICES = list(csv.DictReader((DATA / "gas_orifice.csv").read_text().splitlines()))
ISENTROPIC = list(csv.DictReader((DATA / "gas_isentropic.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", ORIFICES, ids=lambda row: f"{row['bore_mm']} mm {row['pressure_ratio']}")
def test_throat_law(row):
    p0, t0, area = float(row["pressure_pa"]), float(row["temperature_k"]), np.pi / 4e6 * float(row["bore_mm"]) ** 2
    flow = throat_flux(p0, t0, p0 * float(row["pressure_ratio"])) * area
    assert 1000 * flow == pytest.approx(float(row["mass_flow_g_s"]), rel=1e-6)


def steady_pipe(bores, throat_mm, back_pressure, cells=60):
    """A pipe of the given bores [m] from a supply at the first row's state to a throat [mm, 0 none]; settled."""
    supply = Volume(pressure=101325.0, temperature=288.15)
    area = np.pi / 4 * np.asarray(bores) ** 2
    share = (throat_mm * 1e-3) ** 2 * np.pi / 4 / area[-1] if throat_mm else 1.0
    pipe = Pipe(
        places=np.linspace(0.0, 0.3, len(bores)), area=area, cells=cells, low=End(volume=0),
        high=End(volume=1, share_in=share, share_out=share), pressure=101325.0, temperature=288.15,
    )  # fmt: skip
    network, state = build([pipe], [supply, Volume(pressure=back_pressure, temperature=288.15)])
    advance(network, state, 0.3, 0.0, 0.85)
    return network, state


def test_choked_orifice_at_the_end_of_a_pipe():
    row = ORIFICES[0]
    network, state = steady_pipe([0.04, 0.04], float(row["bore_mm"]), 3e4)
    flow = state.flux[0, 1:62] * network.shape[6, 1:62]
    np.testing.assert_allclose(1000 * flow, float(row["mass_flow_g_s"]), rtol=1e-4)


def test_open_bell_passes_the_isentropic_flow():
    """A converging pipe, no losses: its mouth stands at the back pressure and passes the throat's own flow."""
    row = next(r for r in ORIFICES if r["bore_mm"] == "60" and r["pressure_ratio"] == "0.8")
    x = np.linspace(0.0, 1.0, 201)
    _, state = steady_pipe(0.06 * (1.0 + 0.6 * (1.0 - x) ** 2), 0.0, 0.8 * 101325.0, cells=50)
    flow = state.flux[0, 51] * np.pi / 4 * 0.06**2
    assert 1000 * flow == pytest.approx(float(row["mass_flow_g_s"]), rel=1e-3)


@pytest.mark.parametrize("back_pressure", [9.7e4, 9e4, 7e4, 5e4, 2e4])
def test_nozzle_flow_at_fifty_cells(back_pressure):
    """Narrow in the middle, then wider: unchoked at 0.97 bar, below it choked, mostly with a shock behind the throat.

    What enters, averaged over time (the shock stirs within its cell), is what least area or exit pass without loss.
    """
    x = np.linspace(0.0, 1.0, 4001)
    bore = 0.05 * (1.0 - 0.35 * np.sin(np.pi * x) ** 2) - 0.005 * x
    area = np.pi / 4 * bore**2
    pipe = Pipe(
        places=0.4 * x, area=area, cells=50, low=End(volume=0), high=End(volume=1), pressure=1e5, temperature=300.0
    )
    network, state = build([pipe], [Volume(pressure=p, temperature=300.0) for p in (1e5, back_pressure)])
    advance(network, state, 0.10, 0.0, 0.85)
    flows = []
    for time in np.linspace(0.10, 0.12, 201)[1:]:
        advance(network, state, time, 0.0, 0.85)
        flows.append(state.flux[0, 1] * network.shape[6, 1])
    ideal = min(area.min() * throat_flux(1e5, 300.0, 1e3), area[-1] * throat_flux(1e5, 300.0, back_pressure))
    assert np.mean(flows) == pytest.approx(ideal, rel=1e-3)


@pytest.mark.parametrize("row", ISENTROPIC, ids=lambda row: row["mach"])
def test_nozzle_pressure_and_temperature(row):
    """The widest place of a nozzle choked at its throat has the area ratio's Mach number."""
    x = np.linspace(0.0, 1.0, 401)
    ratio = float(row["area_ratio"])
    swell = 1.0 + (ratio - 1.0) * np.sin(np.pi * np.minimum(x / 0.8, 1.0)) ** 2  # wide in the middle, throat at the end
    network, state = steady_pipe(0.02 * np.sqrt(swell), 0.0, 3e4, cells=100)
    widest = int(np.argmax(network.shape[6, 1:102]))
    mach_squared = 0.5 * sum(
        (state.cells[1, i] ** 2 / (1.4 * state.cells[2, i] / state.cells[0, i])) for i in (widest, widest + 1)
    )
    assert np.sqrt(mach_squared) == pytest.approx(float(row["mach"]), rel=2e-2)
    assert state.cells[2, widest] / 101325.0 == pytest.approx(float(row["pressure_ratio"]), rel=5e-3)
    warmth = state.cells[2, widest] / (287.05 * state.cells[0, widest])
    assert warmth / 288.15 == pytest.approx(float(row["temperature_ratio"]), rel=2e-3)
