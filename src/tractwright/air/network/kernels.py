"""Compiled steps of a network: pipes that end in volumes or meet, cylinders among the volumes, throats between these.

SI units, degrees of crank for angles. Volumes are reservoirs (never change), chambers, or cylinders.
"""

from math import sqrt

import numpy as np
from numba import njit

from tractwright.air.cylinders.kernels import (
    BORE,
    CLOSES,
    COMPRESSION,
    DELIVERED,
    ENERGY,
    HEAT_SLOPE,
    MASS,
    PHASE,
    PIN_OFFSET,
    ROD,
    STROKE,
    WORK_NOW,
    burn,
    close_the_books,
    cool,
    cylinder_volume,
    expand,
    set_state,
)
from tractwright.air.flow.kernels import (
    COLD,
    HOT,
    Lane,
    cells_moved_on,
    edges_half_step_on,
    fluxes_between_cells,
    states_from_conserved,
)
from tractwright.air.network.bundles import (
    CYLINDER,
    CYLINDER_LOSS,
    ENERGY_IN,
    FUEL_HEAT,
    MASS_IN,
    RESERVOIR,
    WALL_HEAT_IN,
    WORK_OUT,
    Network,
    State,
)
from tractwright.air.network.exchange_kernels import flow_through_ends, flow_through_joints, flow_through_throats

GHOST_SHARE = 0.2
LOOK_EVERY = 8
FILLED_SHARE = 0.5  # of a chamber that sound may fill in a step: beyond 1 it swings past its neighbours and grows


@njit(cache=True, error_model="numpy")
def _fill_ghosts(network: Network, state: State) -> None:
    """Ghost cells mirror the end cell through the face's last state, so that slopes reach to the end."""
    for k in range(network.pipe_cells.shape[0]):
        first, past = network.pipe_cells[k, 0], network.pipe_cells[k, 1]
        for q in range(3):
            low = 2.0 * state.faces[2 * k, q] - state.cells[q, first]
            high = 2.0 * state.faces[2 * k + 1, q] - state.cells[q, past - 1]
            if q != 1:
                low = max(low, GHOST_SHARE * state.cells[q, first])
                high = max(high, GHOST_SHARE * state.cells[q, past - 1])
            state.cells[q, first - 1] = low
            state.cells[q, past] = high


@njit(cache=True, error_model="numpy")
def _cylinder_moved_on(network: Network, state: State, v: int, step: float, rpm: float) -> None:
    row, tally, volume = network.cylinders[v], state.tally[v], state.volumes[v]
    turned = 6.0 * rpm * step
    angle = (6.0 * rpm * (state.clock[0] + step) - row[PHASE]) % 720.0
    state.sums[FUEL_HEAT] += burn(row, tally, volume, angle)
    state.sums[CYLINDER_LOSS] += cool(row, volume, step, rpm)
    size = cylinder_volume(row[BORE], row[STROKE], row[ROD], row[PIN_OFFSET], row[COMPRESSION], angle)
    work = expand(volume, size, HEAT_SLOPE)
    state.sums[WORK_OUT] += work
    tally[WORK_NOW] += work
    if angle - turned < row[CLOSES] <= angle:
        close_the_books(tally, volume)


@njit(cache=True, error_model="numpy")
def _volumes_moved_on(network: Network, state: State, step: float, rpm: float) -> None:
    for v in range(network.kinds.size):
        gains = state.gains[v]
        if network.kinds[v] == RESERVOIR:
            state.sums[MASS_IN] -= step * gains[MASS]
            state.sums[ENERGY_IN] -= step * gains[ENERGY]
        else:
            for q in range(3):
                state.volumes[v, q] += step * gains[q]
            is_cylinder = network.kinds[v] == CYLINDER
            if is_cylinder:
                _cylinder_moved_on(network, state, v, step, rpm)
            set_state(state.volumes[v], step, HEAT_SLOPE if is_cylinder else 0.0)
        gains[:] = 0.0


@njit(cache=True, error_model="numpy")
def _watch_speeds(network: Network, state: State) -> None:
    density, speed, pressure = state.cells[0], state.cells[1], state.cells[2]
    for k in range(network.pipe_cells.shape[0]):
        power = network.end_power[2 * k]
        state.peaks[k, 0] = max(state.peaks[k, 0], abs(state.faces[2 * k, 1]))
        square = 0.0  # of the Mach number, but for gamma
        for i in range(network.pipe_cells[k, 0], network.pipe_cells[k, 1]):
            square = max(square, speed[i] * speed[i] * density[i] / pressure[i])
        state.peaks[k, 1] = max(state.peaks[k, 1], sqrt(square * (power - 2.0) / power))


@njit(inline="always")
def _cells_step(network: Network, state: State, step: float, lane: Lane) -> None:
    """Faces between the cells of a lane."""
    edges_half_step_on(step, state.cells, network.shape, state.low, state.high, lane)
    fluxes_between_cells(state.low, state.high, state.cells, state.flux, lane)


@njit(cache=True, error_model="numpy")
def advance(network: Network, state: State, end_time: float, rpm: float, courant: float) -> int:
    """Move the state on to end_time [s] at engine speed rpm [1/min]; gives the number of steps.

    courant : share of the stable step taken; no step passes one degree of crank, nor half the filling of a chamber.
    """
    cold, hot = Lane(0, network.hot_from, COLD), Lane(network.hot_from, network.shape.shape[1], HOT)
    has_hot, has_joints = hot.past > hot.first, network.joints.size > 0
    longest = min(1.0 / (6.0 * max(rpm, 1e-3)), FILLED_SHARE / max(network.chamber_rate, 1e-3))
    steps = 0
    while state.clock[0] < end_time - 1e-12:
        quickest = states_from_conserved(state.conserved, network.shape, state.cells, cold)
        if has_hot:
            quickest = max(quickest, states_from_conserved(state.conserved, network.shape, state.cells, hot))
        step = min(courant / quickest, longest, end_time - state.clock[0])
        _fill_ghosts(network, state)
        _cells_step(network, state, step, cold)
        if has_hot:
            _cells_step(network, state, step, hot)
        angle = 6.0 * rpm * (state.clock[0] + 0.5 * step)
        flow_through_ends(network, state, step, angle)
        if has_joints:
            flow_through_joints(network, state)
        flow_through_throats(network, state, step, angle)
        heat = cells_moved_on(step, state.conserved, state.cells, state.flux, network.shape, cold)
        if has_hot:
            heat += cells_moved_on(step, state.conserved, state.cells, state.flux, network.shape, hot)
        state.sums[WALL_HEAT_IN] += heat
        _volumes_moved_on(network, state, step, rpm)
        if steps % LOOK_EVERY == 0:
            _watch_speeds(network, state)
        state.clock[0] += step
        steps += 1
    return steps


@njit(cache=True, error_model="numpy", nogil=True)
def run_to_rhythm(
    network: Network, state: State, rpm: float, most_cycles: int, settled: float, courant: float
) -> tuple[int, int]:
    """Run whole engine cycles until no cylinder's trapped or delivered air changes by more than the share `settled`.

    Gives (cycles, steps); the results stand in State.tally and State.peaks (of the last cycle). Runs without the lock
    of the interpreter, so that several engines run side by side.
    """
    steps = 0
    calm = 0
    before = np.zeros((state.tally.shape[0], 2))
    for cycle in range(most_cycles):
        state.peaks[:] = 0.0
        steps += advance(network, state, (cycle + 1) * 120.0 / rpm, rpm, courant)
        change = 0.0
        for v in range(network.kinds.size):
            if network.kinds[v] == CYLINDER:
                for q in range(2):
                    now = state.tally[v, DELIVERED + q]
                    change = max(change, abs(now - before[v, q]) / max(abs(now), 1e-12))
                    before[v, q] = now
        calm = calm + 1 if change < settled else 0
        if calm >= 2 and cycle >= 3:
            return cycle + 1, steps
    return most_cycles, steps
