"""Small cells start from the rhythm of long ones: the same answer in fewer cycles."""

import numpy as np
import pytest

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.cylinders.kernels import TRAPPED
from tractwright.air.engine import filling_mass
from tractwright.air.network.carry import carry_over
from tractwright.air.network.kernels import advance, run_to_rhythm
from tractwright.air.sweep import run_at
from tractwright.job.engine_tables import AirSupply, Engine

RPM = 6000.0


def breather(cell: float) -> Breather:
    """A four with primaries that meet, and a plenum in a row, fed at its end."""
    engine = Engine.model_validate(
        {"cylinders": 4, "bore": 86.0, "stroke": 86.0, "primary_length": 500.0, "collector_length": 400.0}
    )
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, 0.3]), area=np.array([1.4e-3, 1.15e-3]), loss=0.2, entry_share=0.98, cylinders=(i + 1,),
            plenum=0, part=i,
        )
        for i in range(4)
    )  # fmt: skip
    plenum = PlenumAir(size=3e-3, throttle_bores=(0.06,), necks=(0.03,), parts=4, length=0.36)
    intake = Intake(runners=runners, plena=(plenum,), wall_temperature=330.0)
    return Breather(engine=engine, air=AirSupply(), intake=intake, cell=cell)


def made(cell: float):
    parts = assembled(breather(cell), RPM)
    return parts.network, parts.state


def test_the_same_cells_get_the_same_gas():
    old, new = made(0.02), made(0.02)
    advance(*old, 0.02, RPM, 0.85)
    carry_over(old, new)
    for first, past in old[0].pipe_cells:
        np.testing.assert_array_equal(new[1].conserved[:, first:past], old[1].conserved[:, first:past])
    np.testing.assert_array_equal(new[1].volumes, old[1].volumes)
    assert new[1].clock[0] == 0.0


def test_gas_that_rises_straight_is_carried_exactly():
    """A density that is a straight line over a pipe stays that line in other cells, but for its outermost halves."""
    old, new = made(0.02), made(0.0075)
    for network, state in (old, new):
        for first, past in network.pipe_cells:
            middles = (np.arange(past - first) + 0.5) / (past - first)
            state.conserved[0, first:past] = 1.0 + middles
    aim = new[1].conserved[0].copy()
    carry_over(old, new)
    for (a, b), (first, past) in zip(old[0].pipe_cells, new[0].pipe_cells, strict=True):
        got, half = new[1].conserved[0, first:past], 0.5 / (b - a)
        np.testing.assert_allclose(got, np.clip(aim[first:past], 1.0 + half, 2.0 - half), rtol=1e-12)


def test_a_start_from_long_cells_ends_where_one_from_rest_does():
    network, state = made(0.0075)
    from_rest, _ = run_to_rhythm(network, state, RPM, 60, 5e-4, 0.85)
    run_to_rhythm(network, state, RPM, 60, 1e-6, 0.85)
    engine = breather(0.0075).engine
    cylinders = list(assembled(breather(0.0075), RPM).cylinders)
    filling = state.tally[cylinders, TRAPPED] / filling_mass(engine, AirSupply())
    run = run_at(breather(0.0075), RPM)
    np.testing.assert_allclose(run.trapped, filling, rtol=1e-3)
    assert run.cycles <= 0.7 * from_rest
    assert run.trapped.mean() == pytest.approx(filling.mean(), rel=3e-4)
