"""The same air, quickly, for use while something is being changed: coarse cells, few speeds."""

import numpy as np

from tractwright.air.breather import Breather
from tractwright.air.intake import drawn_intake
from tractwright.air.records import QuickLook
from tractwright.air.sweep import run_all
from tractwright.design.records import Design
from tractwright.job.engine_tables import Engine
from tractwright.job.sheet import JobSheet

QUICK_CELL = 0.020  # m
QUICK_SETTLED = 3e-3
QUICK_POINTS = 12
LOWEST_SHARE = 0.3  # of the highest revs
MEAN_ERROR, MOST_ERROR = 0.002, 0.02
"""How far its filling lies from the whole simulation's, in the mean and at the worst speed of the worst engine: measured by
the air benchmark on engines of one to eight cylinders, with ducts, boxes, boost and primaries, and rounded up."""


def quick_look(sheet: JobSheet, engine: Engine, design: Design) -> QuickLook:
    """Filling and torque of a description over the revs."""
    intake = drawn_intake(design, engine, sheet.air)
    breather = Breather(engine=engine, air=sheet.air, intake=intake, cell=QUICK_CELL, settled=QUICK_SETTLED)
    revs = np.linspace(LOWEST_SHARE, 1.0, QUICK_POINTS) * engine.highest_rpm
    runs = run_all([(breather, float(rpm)) for rpm in revs])
    return QuickLook(
        rpm=tuple(round(float(rpm), 2) for rpm in revs),
        trapped_ve=tuple(round(float(run.trapped.mean()), 5) for run in runs),
        torque_nm=tuple(round(run.torque, 3) for run in runs),
        mean_error=MEAN_ERROR,
        most_error=MOST_ERROR,
    )
