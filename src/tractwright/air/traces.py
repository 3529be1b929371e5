"""One cycle of an engine in rhythm looked at closely: pressures over the crank, Mach number along the runners. SI units."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.air.assembly import Assembly
from tractwright.air.breather import Breather
from tractwright.air.cylinders.kernels import PRESSURE
from tractwright.air.flow.kernels import GAMMA
from tractwright.air.network.bundles import place_of
from tractwright.air.network.kernels import advance
from tractwright.air.sweep import COURANT, settled

Array = npt.NDArray[np.float64]

POINTS = 360


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Watched:
    """A cycle of the cylinder that fires first, from its gas-exchange top dead centre: crank [deg], pressures [Pa] in the
    cylinder, before its intake valve and in its plenum, speed [m/s] at the mouth of its runner; for each runner places [m]
    and highest Mach number there.
    """

    crank: Array
    cylinder: Array
    port: Array
    plenum: Array
    mouth_speed: Array
    places: tuple[Array, ...]
    mach: tuple[Array, ...]


def watched(breather: Breather, rpm: float) -> Watched:
    """Run an engine to its rhythm at a speed [1/min], then one cycle more with its eyes open."""
    parts, _ = settled(breather, rpm)
    first = sorted(breather.engine.firing_order).index(breather.engine.firing_order[0])
    number = breather.engine.firing_order[0]
    runner = next(i for i, one in enumerate(breather.intake.runners) if number in one.cylinders)
    plenum = parts.plena[breather.intake.runners[runner].plenum][breather.intake.runners[runner].part]
    port, _, _ = place_of(parts.network, parts.inlet_ends[first][0])
    rows = np.empty((POINTS, 4))
    mach = [np.zeros(len(places)) for places in _places(breather, parts)]
    start, cycle = float(parts.state.clock[0]), 120.0 / rpm
    for i in range(POINTS):
        advance(parts.network, parts.state, start + (i + 1) * cycle / POINTS, rpm, COURANT)
        volumes = parts.state.volumes
        speed = parts.state.faces[2 * parts.runners[runner], 1]
        rows[i] = (
            volumes[parts.cylinders[first], PRESSURE],
            parts.state.cells[2, port],
            volumes[plenum, PRESSURE],
            speed,
        )
        for k, highest in zip(parts.runners, mach, strict=True):
            np.maximum(highest, _mach_in(parts, k), out=highest)
    return Watched(
        crank=(np.arange(POINTS) + 1.0) * 720.0 / POINTS,
        cylinder=rows[:, 0],
        port=rows[:, 1],
        plenum=rows[:, 2],
        mouth_speed=rows[:, 3],
        places=tuple(_places(breather, parts)),
        mach=tuple(mach),
    )


def _places(breather: Breather, parts: Assembly) -> list[Array]:
    """Middles of the cells of each runner's pipe [m] from its mouth."""
    found: list[Array] = []
    for k, _ in zip(parts.runners, breather.intake.runners, strict=True):
        first, past = parts.network.pipe_cells[k]
        found.append((np.arange(past - first) + 0.5) / parts.network.shape[0, first])
    return found


def _mach_in(parts: Assembly, k: int) -> Array:
    first, past = parts.network.pipe_cells[k]
    density, speed, pressure = parts.state.cells[:3, first:past]
    return abs(speed) / np.sqrt(GAMMA * pressure / density)
