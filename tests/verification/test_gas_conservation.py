"""A hundred cycles of a whole engine: mass and energy balance to rounding.

Source: exact: what is in the network now is what was, what came in, and heat less work.
"""

import numpy as np

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.flow.kernels import PER_VOLUME
from tractwright.air.network.bundles import (
    CYLINDER_LOSS,
    ENERGY_IN,
    FUEL_HEAT,
    MASS_IN,
    RESERVOIR,
    WALL_HEAT_IN,
    WORK_OUT,
)
from tractwright.air.network.kernels import advance
from tractwright.job.engine_tables import AirSupply, Engine


def totals(network, state):
    per_volume = network.shape[PER_VOLUME]
    sizes = np.where(per_volume > 0.0, 1.0 / np.where(per_volume > 0.0, per_volume, 1.0), 0.0)
    ours = network.kinds != RESERVOIR
    mass = (state.conserved[0] * sizes).sum() + state.volumes[ours, 0].sum()
    energy = (state.conserved[2] * sizes).sum() + state.volumes[ours, 1].sum()
    burnt = (state.conserved[3] * sizes).sum() + state.volumes[ours, 2].sum()
    return mass, energy, burnt


def test_mass_and_energy_over_a_hundred_cycles():
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, 0.31]), area=np.array([1.4e-3, 1.1e-3]), loss=0.25, entry_share=0.98,
            cylinders=(number,), plenum=0,
        )
        for number in (1, 2, 3, 4)
    )  # fmt: skip
    intake = Intake(
        runners=runners, plena=(PlenumAir(size=3e-3, throttle_bores=(0.06,), necks=(0.03,)),), wall_temperature=330.0
    )
    engine = Engine.model_validate({"cylinders": 4, "bore": 86.0, "stroke": 86.0})
    rpm = 5000.0
    parts = assembled(Breather(engine=engine, air=AirSupply(), intake=intake, cell=0.015), rpm)
    network, state = parts.network, parts.state
    mass, energy, _ = totals(network, state)
    advance(network, state, 100 * 120.0 / rpm, rpm, 0.85)
    mass_now, energy_now, burnt_now = totals(network, state)
    sums = state.sums
    breathed = 400 * 5e-4  # kg, of the order of what passed
    assert abs(mass_now - mass - sums[MASS_IN]) <= 1e-12 * breathed
    heat = sums[FUEL_HEAT] + sums[WALL_HEAT_IN] - sums[CYLINDER_LOSS]
    assert abs(energy_now - energy - sums[ENERGY_IN] - heat + sums[WORK_OUT]) <= 1e-11 * sums[FUEL_HEAT]
    assert 0.0 < burnt_now < mass_now
