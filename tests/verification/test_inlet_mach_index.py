"""Filling against the inlet Mach index: flat below, falling fast above a knee.

Sources: JSME Mechanical Engineering Dictionary, item 11:1002813 (falls rapidly from 0.5); Livengood and Stanitz, NACA TN 915
(1943), Taylor (above about 0.6; memory). The knee is read as on paper, where the straight parts before and behind it cross;
0.05 more is allowed on either side of what the sources say. The index is that of the package, held to a worked answer in
test_tuning_rules.
"""

import numpy as np

from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.engine import intake_valves
from tractwright.air.rules_of_thumb import inlet_mach_index
from tractwright.air.sweep import run_all
from tractwright.air.valves import effective_area
from tractwright.job.engine_tables import AirSupply, Engine

SOUND = 346.1  # of the supply, 25 C


def test_the_knee():
    """One cylinder without a tuned pipe; two sizes of valve: the curves fall together when drawn over the index."""
    curves = []
    for valve in (28.0, 36.0):
        engine = Engine.model_validate(
            {
                "cylinders": 1, "bore": 86.0, "stroke": 86.0, "intake_valve": valve, "intake_closes_abdc": 40.0,
                "wanted_peak": 9000.0, "highest": 14000.0, "port_length": 20.0,
            }
        )  # fmt: skip
        valves = intake_valves(engine)
        mean = float(effective_area(valves)[:-1].mean() * 720.0 / (valves.closes - valves.opens))
        runner = RunnerAir(
            places=np.array([0.0, 0.02]), area=np.full(2, 2.2e-3), loss=0.0, entry_share=1.0, cylinders=(1,), plenum=0
        )
        intake = Intake(runners=(runner,), plena=(PlenumAir(size=None),), wall_temperature=298.0)
        breather = Breather(engine=engine, air=AirSupply(), intake=intake, cell=0.01, settled=2e-3)
        per_rpm = inlet_mach_index(0.086, 0.086, 1.0, mean, SOUND)
        index = np.linspace(0.2, 1.0, 17)
        runs = run_all([(breather, float(z / per_rpm)) for z in index])
        filling = np.array([run.trapped.mean() for run in runs])
        curves.append(filling / filling[:5].max())
        flat, falling = (np.polyfit(index[among], curves[-1][among], 1) for among in (index < 0.48, index > 0.72))
        knee = (falling[1] - flat[1]) / (flat[0] - falling[0])
        assert falling[0] < 4.0 * min(flat[0], -0.02)
        assert 0.45 <= knee <= 0.65
        assert curves[-1][index <= 0.5].min() > 0.93
        assert curves[-1][-1] < 0.85
    assert np.abs(curves[0] - curves[1]).max() < 0.06
