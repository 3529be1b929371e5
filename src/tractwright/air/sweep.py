"""Engines run at many speeds, side by side. SI units."""

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.air.assembly import Assembly, assembled
from tractwright.air.breather import Breather
from tractwright.air.cylinders.kernels import DELIVERED, RESIDUAL, TRAPPED, WORK
from tractwright.air.engine import filling_mass, friction_torque
from tractwright.air.network.carry import carry_over
from tractwright.air.network.kernels import run_to_rhythm

Array = npt.NDArray[np.float64]

COURANT = 0.85
MOST_CYCLES = 60
FIRST_CELL, FIRST_SETTLED = 0.0225, 2e-3  # m; cells less than half as long start from the rhythm of these


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Run:
    """An engine in rhythm at one speed.

    delivered, trapped : filling of each cylinder by number; residual : share of burnt gas in what it holds as the intake
    valve shuts; torque [N m] of the whole engine; speed_at_mouth [m/s] and mach : peak of each runner; cycles : until it
    was in rhythm, in cells of the asked length.
    """

    rpm: float
    delivered: Array
    trapped: Array
    residual: Array
    torque: float
    speed_at_mouth: Array
    mach: Array
    cycles: int


def run_at(breather: Breather, rpm: float) -> Run:
    """Run an engine at one speed [1/min] until its filling repeats."""
    return settled(breather, rpm)[1]


def settled(breather: Breather, rpm: float) -> tuple[Assembly, Run]:
    """An engine in rhythm at one speed [1/min], to be looked at further, and its results.

    Small cells start from what long ones came to: four or five cycles are then enough, instead of about ten.
    """
    parts = assembled(breather, rpm)
    if breather.cell <= 0.5 * FIRST_CELL:
        first, _ = settled(replace(breather, cell=FIRST_CELL, settled=FIRST_SETTLED), rpm)
        carry_over((first.network, first.state), (parts.network, parts.state))
    network, state = parts.network, parts.state
    cycles, _ = run_to_rhythm(network, state, rpm, MOST_CYCLES, breather.settled, COURANT)
    tally = state.tally[list(parts.cylinders)]
    whole = filling_mass(breather.engine, breather.air)
    return parts, Run(
        rpm=rpm,
        delivered=tally[:, DELIVERED] / whole,
        trapped=tally[:, TRAPPED] / whole,
        residual=tally[:, RESIDUAL],
        torque=float(tally[:, WORK].sum()) / (4.0 * np.pi) - friction_torque(breather.engine, rpm),
        speed_at_mouth=state.peaks[list(parts.runners), 0],
        mach=state.peaks[list(parts.runners), 1],
        cycles=cycles,
    )


def run_all(asked: Sequence[tuple[Breather, float]]) -> list[Run]:
    """Many runs, in the order asked, as many at a time as there are processors. Each is alone with its arrays."""
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as workers:
        return list(workers.map(lambda one: run_at(*one), asked))
