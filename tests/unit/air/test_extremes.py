"""Extreme designs run without a cell or a filling going wrong."""

import numpy as np
import pytest

from tractwright.air.breather import Breather, Intake, PlenumAir, RunnerAir
from tractwright.air.sweep import run_at
from tractwright.job.engine_tables import AirSupply, Engine


@pytest.mark.parametrize("seed", range(40))
def test_extreme_design(seed):
    draw = np.random.default_rng(seed)
    cylinders = int(draw.integers(1, 9))
    bore = float(draw.uniform(0.018, 0.07))
    runners = tuple(
        RunnerAir(
            places=np.array([0.0, draw.uniform(0.03, 0.9)]), area=np.pi / 4 * bore**2 * np.array([1.0, draw.uniform(0.4, 2.0)]),
            loss=draw.uniform(0, 2), entry_share=draw.uniform(0.5, 1), cylinders=(number,), plenum=0,
        )
        for number in range(1, cylinders + 1)
    )  # fmt: skip
    plenum = PlenumAir(
        size=10 ** draw.uniform(-3.7, -1.5),
        throttle_bores=(float(draw.uniform(0.015, 0.1)),),
        necks=(draw.uniform(0.01, 0.3),),
    )
    engine = Engine.model_validate(
        {
            "cylinders": cylinders, "bore": draw.uniform(50, 110), "stroke": draw.uniform(40, 110), "highest": 15000.0,
            "intake_opens_btdc": draw.uniform(-20, 60), "intake_closes_abdc": draw.uniform(10, 100),
            "exhaust_closes_atdc": draw.uniform(-20, 60), "compression_ratio": draw.uniform(7, 15),
            "primary_length": 600.0 * (seed % 3 > 0), "collector_length": 500.0 * (seed % 3 > 1), "pin_offset": seed % 4,
        }
    )  # fmt: skip
    air = AirSupply.model_validate(
        {
            "boost": float(draw.choice([0.0, 1.5])),
            "ambient": draw.uniform(0.6, 1.1),
            "throttle_open": draw.uniform(5, 90),
        }
    )
    intake = Intake(runners=runners, plena=(plenum,), wall_temperature=draw.uniform(250, 450))
    breather = Breather(engine=engine, air=air, intake=intake, cell=float(draw.uniform(0.01, 0.03)), settled=5e-3)
    run = run_at(breather, float(draw.uniform(600, 14000)))
    assert np.all(np.isfinite(run.trapped))
    assert np.all((run.trapped > 0.0) & (run.trapped < 2.0))
    assert np.isfinite(run.torque)
