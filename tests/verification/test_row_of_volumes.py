"""A long plenum as a row of volumes with pipes between.

Source: elementary acoustics: a shut duct of length L swings at c / 2L.
"""

import numpy as np
import pytest

from tractwright.air.assembly import assembled
from tractwright.air.breather import Breather, Intake, PlenumAir
from tractwright.air.cylinders.kernels import PRESSURE, SIZE
from tractwright.air.flow.kernels import PER_VOLUME
from tractwright.air.network.kernels import advance
from tractwright.job.engine_tables import AirSupply, Engine

LENGTH, SECTION = 0.40, 80e-4


@pytest.mark.parametrize("parts", [3, 4, 6, 8])
def test_first_swing_of_a_shut_row(parts):
    """Lumps hold back a chain (few parts), air in the links quickens it: together 2.8 to 4.3 % quick of the duct, bar 5 %."""
    plenum = PlenumAir(size=LENGTH * SECTION, parts=parts, length=LENGTH)
    engine = Engine.model_validate({"cylinders": 1, "bore": 86.0, "stroke": 86.0})
    intake = Intake(runners=(), plena=(plenum,), wall_temperature=298.15)
    made = assembled(Breather(engine=engine, air=AirSupply(), intake=intake, cell=0.0075), 1.0)
    network, state = made.network, made.state
    volumes = np.array(made.plena[0])
    state.volumes[volumes[0], :3] *= 1.001
    state.volumes[volumes[0], PRESSURE] *= 1.001
    sound = np.sqrt(1.4 * 287.05 * 298.15)
    duct = sound / (2 * LENGTH)
    times = np.arange(1, 401) * 10 / duct / 400
    seen = []
    for time in times:
        advance(network, state, time, 1e-3, 0.85)
        seen.append(state.volumes[volumes[0], PRESSURE] - state.volumes[volumes[-1], PRESSURE])
    frequency = np.linspace(0.5, 1.5, 2001) * duct
    window = np.hanning(len(times))
    strength = abs(np.exp(-2j * np.pi * np.outer(frequency, times)) @ (window * np.array(seen)))
    assert frequency[np.argmax(strength)] == pytest.approx(duct, rel=0.05)


def test_a_row_keeps_the_plenum_s_size():
    plenum = PlenumAir(size=3e-3, parts=4, length=LENGTH)
    engine = Engine.model_validate({"cylinders": 1, "bore": 86.0, "stroke": 86.0})
    breather = Breather(
        engine=engine, air=AirSupply(), cell=0.01, intake=Intake(runners=(), plena=(plenum,), wall_temperature=300.0)
    )
    made = assembled(breather, 1000.0)
    cells = made.network.shape[PER_VOLUME]
    pipes = (1 / cells[cells > 0]).sum()
    assert pipes + made.state.volumes[list(made.plena[0]), SIZE].sum() == pytest.approx(3e-3, rel=1e-12)
