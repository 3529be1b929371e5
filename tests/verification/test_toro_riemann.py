"""Toro's five Riemann problems, from near vacuum to colliding shocks: the star state in the middle of the pipe.

Source: data/gas_riemann.csv (starting data of tests 2 to 5 from memory; star values recomputed).
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.ends.kernels import pipe_end
from tractwright.air.flow.kernels import COLD
from tractwright.air.network.build import build
from tractwright.air.network.kernels import advance
from tractwright.air.network.parts import End, Pipe

R = 287.05
SCALE = 1e5  # pressures x 1e5, so speeds x sqrt(1e5)
ROWS = list(csv.DictReader((Path(__file__).parent / "data/gas_riemann.csv").read_text().splitlines()))
TESTS = {row["test"]: {k: float(v) for k, v in row.items() if k not in ("test", "source")} for row in ROWS}
CELLS = 800


def run(row: dict[str, float], time: float):
    """State in the pipe [in the table's units] before anything comes back from its shut ends."""
    left = np.arange(CELLS) < CELLS // 2
    density = np.where(left, row["density_left"], row["density_right"])
    pressure = np.where(left, row["pressure_left"], row["pressure_right"]) * SCALE
    speed = np.where(left, row["speed_left"], row["speed_right"]) * np.sqrt(SCALE)
    pipe = Pipe(
        places=np.array([0.0, 1.0]), area=np.array([1e-3, 1e-3]), cells=CELLS, low=End(), high=End(),
        pressure=pressure, temperature=pressure / (R * density), speed=speed,
    )  # fmt: skip
    network, state = build([pipe], [])
    advance(network, state, time / np.sqrt(SCALE), 0.0, 0.85)
    density, momentum, energy, _ = state.conserved[:, 1 : CELLS + 1]
    speed = momentum / density
    pressure = 0.4 * (energy - 0.5 * momentum * speed)
    return density, speed / np.sqrt(SCALE), pressure / SCALE


# fastest wave x time stays well inside the half pipe, and what starts at the ends does too
@pytest.mark.parametrize(("name", "time"), [("1", 0.2), ("1b", 0.12), ("3", 0.012), ("4", 0.03), ("5", 0.012)])
def test_star_state(name, time):
    row = TESTS[name]
    density, speed, pressure = run(row, time)
    contact = 0.5 + row["star_speed"] * time
    x = (np.arange(CELLS) + 0.5) / CELLS
    before = (x > contact - 0.03) & (x < contact - 0.015)
    after = (x > contact + 0.015) & (x < contact + 0.03)
    for near in (before, after):
        assert np.median(pressure[near]) == pytest.approx(row["star_pressure"], rel=5e-3)
        assert np.median(speed[near]) == pytest.approx(row["star_speed"], rel=5e-3)
    assert np.median(density[before]) == pytest.approx(row["density_star_left"], rel=2e-2)
    assert np.median(density[after]) == pytest.approx(row["density_star_right"], rel=2e-2)


def test_near_vacuum_stays_positive():
    row = TESTS["2"]
    density, speed, pressure = run(row, 0.1)
    assert density.min() > 0.0
    assert pressure.min() > 0.0
    assert pressure[CELLS // 2] == pytest.approx(row["star_pressure"], abs=1e-3)
    assert abs(speed[CELLS // 2]) < 0.05


def test_shut_end_is_half_of_the_symmetric_problem():
    """Gas drawn off a wall at speed 2: the wall feels test 2's star state, exactly."""
    row = TESTS["2"]
    density, speed, pressure, _ = pipe_end(1.0, -2.0 * np.sqrt(SCALE), 0.4 * SCALE, 0.0, SCALE, 300.0, COLD)
    assert pressure / SCALE == pytest.approx(row["star_pressure"], rel=1e-5)
    assert density == pytest.approx(row["density_star_left"], rel=1e-5)
    assert speed == 0.0
