"""Engines run at many speeds, side by side. SI units."""

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.air.cylinders.kernels import DELIVERED, TRAPPED, WORK
from tractwright.air.engine import Breather, filling_mass, network_at, swept_volume
from tractwright.air.network.bundles import CYLINDER
from tractwright.air.network.kernels import run_to_rhythm

Array = npt.NDArray[np.float64]

COURANT = 0.85
MOST_CYCLES = 60


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Run:
    """An engine in rhythm at one speed.

    delivered, trapped : filling of each cylinder by number; torque [N m] of the whole engine; speed_at_mouth [m/s] and
    mach : peak of each runner; cycles and cell_steps : what it took.
    """

    rpm: float
    delivered: Array
    trapped: Array
    torque: float
    speed_at_mouth: Array
    mach: Array
    cycles: int
    cell_steps: int


def run_at(breather: Breather, rpm: float) -> Run:
    """Run an engine at one speed [1/min] until its filling repeats."""
    network, state = network_at(breather, rpm)
    cycles, steps = run_to_rhythm(network, state, rpm, MOST_CYCLES, breather.settled, COURANT)
    tally = state.tally[network.kinds == CYLINDER]
    whole = filling_mass(breather.engine, breather.air)
    runners = len(breather.intake.runners)
    return Run(
        rpm=rpm,
        delivered=tally[:, DELIVERED] / whole,
        trapped=tally[:, TRAPPED] / whole,
        torque=float(tally[:, WORK].sum()) / (4.0 * np.pi) - friction_torque(breather, rpm),
        speed_at_mouth=state.peaks[:runners, 0],
        mach=state.peaks[:runners, 1],
        cycles=cycles,
        cell_steps=steps * network.shape.shape[1],
    )


def run_all(asked: Sequence[tuple[Breather, float]]) -> list[Run]:
    """Many runs, in the order asked, as many at a time as there are processors. Each is alone with its arrays."""
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as workers:
        return list(workers.map(lambda one: run_at(*one), asked))


def friction_torque(breather: Breather, rpm: float) -> float:
    """Torque lost to friction [N m]. Source: barnes_moss_memory (unverified): 0.97 + 0.15 n + 0.05 n^2 bar, n in 1000/min."""
    thousands = rpm / 1000.0
    pressure = (0.97 + 0.15 * thousands + 0.05 * thousands**2) * 1e5
    return pressure * swept_volume(breather.engine) * breather.engine.cylinders / (4.0 * np.pi)
