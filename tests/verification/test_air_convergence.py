"""An engine's filling settles as cells, time steps and cycles grow in number.

Source: the same run refined: exact in the limit (Richardson); differences have to shrink, and the bars of the air stage hold.
"""

import numpy as np
import pytest

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.cylinders.kernels import TRAPPED
from tractwright.air.engine import filling_mass
from tractwright.air.network.kernels import run_to_rhythm
from tractwright.air.sweep import run_at
from tractwright.job.engine_tables import AirSupply, Engine

ENGINE = Engine.model_validate({"cylinders": 1, "bore": 86.0, "stroke": 86.0})
RPM = 5000.0


def breather(cell: float, settled: float = 1e-5) -> Breather:
    runner = RunnerAir(
        places=np.array([0.0, 0.32]), area=np.array([1.4e-3, 1.15e-3]), loss=0.2, entry_share=0.98, cylinders=(1,), plenum=0
    )  # fmt: skip
    plenum = PlenumAir(size=1.2e-3, throttle_bores=(0.035,), necks=(0.03,))
    intake = Intake(runners=(runner,), plena=(plenum,), wall_temperature=330.0)
    return Breather(engine=ENGINE, air=AirSupply(), intake=intake, cell=cell, settled=settled)


def test_cells():
    """Each halving changes less; 7.5 mm is within 0.1 % of the finest, 25 mm within 0.5 %."""
    cells = (0.03, 0.015, 0.0075, 0.00375, 0.001875)
    filling = np.array([run_at(breather(cell), RPM).trapped.mean() for cell in cells])
    off = abs(filling / filling[-1] - 1.0)
    assert off[2] < 1e-3
    assert run_at(breather(0.025), RPM).trapped.mean() == pytest.approx(filling[-1], rel=0.005)
    steps = abs(np.diff(filling))
    assert steps[3] < 0.6 * steps[1]
    assert off[3] <= off[0]


def test_time_steps():
    """Half and a quarter of the usual step: within 0.2 %."""
    usual = run_at(breather(0.0075), RPM).trapped.mean()
    for share in (0.42, 0.21):
        made = assembled(breather(0.0075), RPM)
        run_to_rhythm(made.network, made.state, RPM, 60, 1e-5, share)
        small = made.state.tally[made.cylinders[0], TRAPPED] / filling_mass(ENGINE, AirSupply())
        assert small == pytest.approx(usual, rel=2e-3)


def test_cycles():
    """A run that stops by its own judgement lies within 0.1 % of one let run ten times as long."""
    short = run_at(breather(0.0075, settled=5e-4), RPM)
    made = assembled(breather(0.0075), RPM)
    run_to_rhythm(made.network, made.state, RPM, 10 * short.cycles, 0.0, 0.85)
    long = made.state.tally[made.cylinders[0], TRAPPED] / filling_mass(ENGINE, AirSupply())
    assert short.trapped.mean() == pytest.approx(long, rel=1e-3)
