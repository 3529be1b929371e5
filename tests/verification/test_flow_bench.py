"""A flow bench foretold: an ideal opening, and the compressible correction. Source: data/gas_flow_bench.csv."""

import csv
from pathlib import Path

import numpy as np
import pytest

from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.ends.kernels import throat_flux
from tractwright.air.engine import intake_valves
from tractwright.air.flow_bench import bench_flow, incompressible_over
from tractwright.air.laying import seat_area_of
from tractwright.job.engine_tables import AirSupply, Engine

ROWS = csv.DictReader((Path(__file__).parent / "data/gas_flow_bench.csv").read_text().splitlines())
TOLD = {row["what"]: float(row["value"]) for row in ROWS}
R = 287.05
WARM = 101325.0 / (R * 1.225)  # where air weighs 1.225 kg/m3
CFM = 0.3048**3 / 60.0
SQUARE_INCH = 0.0254**2
DEPRESSION = TOLD["depression of 28 inches of water"]


def test_an_ideal_square_inch():
    flow = throat_flux(101325.0, WARM, 101325.0 - DEPRESSION) * SQUARE_INCH / 1.225 / CFM
    assert flow == pytest.approx(TOLD["flow of an ideal square inch compressible"], rel=1e-4)
    over = incompressible_over(101325.0, WARM, DEPRESSION)
    simple = TOLD["flow of an ideal square inch incompressible"] / TOLD["flow of an ideal square inch compressible"]
    assert over == pytest.approx(simple - 1.0, abs=1e-4)


@pytest.fixture(scope="module")
def bench():
    engine = Engine.model_validate(
        {"cylinders": 1, "bore": 86.0, "stroke": 86.0, "intake_flow_at": [0.0, 0.5], "intake_flow": [0.6, 0.6]}
    )
    air = AirSupply.model_validate({"ambient": 1.01325, "charge": WARM - 273.15, "boost": 0.9})
    area = np.full(2, 1.3 * seat_area_of(engine))
    runner = RunnerAir(places=np.array([0.0, 0.3]), area=area, loss=0.3, entry_share=0.98, cylinders=(1,), plenum=0)
    intake = Intake(runners=(runner,), plena=(PlenumAir(size=None),), wall_temperature=WARM)
    breather = Breather(engine=engine, air=air, intake=intake, cell=0.01)
    return engine, bench_flow(breather, runner)


def test_a_small_opening_flows_its_effective_area(bench):
    """At the least lift the passage hardly matters: 0.6 of the curtain, by the ideal law, boost left out; within 2.5 %."""
    engine, told = bench
    assert told.depression_pa == pytest.approx(DEPRESSION, rel=1e-4)
    valves, row = intake_valves(engine), told.rows[0]
    curtain = 0.6 * valves.count * np.pi * valves.diameter * row.lift_mm * 1e-3
    ideal = throat_flux(101325.0, WARM, 101325.0 - DEPRESSION) * curtain / 1.225 * 1e3
    assert row.port_alone_l_s == pytest.approx(ideal, rel=0.025)


def test_a_runner_costs_flow_and_more_lift_gives_it(bench):
    _, told = bench
    flows = [row.flow_l_s for row in told.rows]
    assert flows == sorted(flows)
    losses = [1.0 - row.flow_l_s / row.port_alone_l_s for row in told.rows]
    assert all(0.0 < loss < 0.15 for loss in losses)
    assert losses[-1] > losses[0]
