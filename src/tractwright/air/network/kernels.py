"""Compiled steps of a network: pipes that end in volumes, cylinders among these, and throats between volumes.

Everything a step needs stands in two bundles of arrays: `Network` does not change, `State` does. SI units, degrees of crank
for angles. Volumes are reservoirs (never change), chambers, or cylinders. Conservation holds to rounding: a pipe end and
its volume, and both sides of a throat, get the same flux.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

from tractwright.air.cylinders.kernels import (
    BORE,
    BURNT,
    CLOSES,
    COMPRESSION,
    DELIVERED,
    ENERGY,
    HEAT_SLOPE,
    IN_NOW,
    MASS,
    PHASE,
    PRESSURE,
    RATE,
    ROD,
    SIZE,
    STROKE,
    TEMPERATURE,
    WARM,
    WORK_NOW,
    burn,
    close_the_books,
    cool,
    cylinder_volume,
    expand,
    set_state,
    table_at,
)
from tractwright.air.ends.kernels import pipe_end, throat_flux
from tractwright.air.flow.kernels import (
    FACE_AREA,
    GAMMA,
    GAS_CONSTANT,
    HEAT_CONST_PRESSURE,
    cells_moved_on,
    edges_half_step_on,
    fluxes_between_cells,
    states_from_conserved,
)

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

RESERVOIR, CHAMBER, CYLINDER = 0, 1, 2
# State.sums
WALL_HEAT_IN, CYLINDER_LOSS, WORK_OUT, FUEL_HEAT, MASS_IN, ENERGY_IN = 0, 1, 2, 3, 4, 5

GHOST_SHARE = 0.2
LOOK_EVERY = 8


class Network(NamedTuple):
    """What does not change. K pipes, V volumes, L throats, n cells; end 2k is the low end of pipe k, 2k + 1 the high one.

    shape (7, n): rows as in flow; pipe_cells (K, 2): first cell, one past the last; end_volume (2K,): -1 shut;
    end_table (2K,): row of `tables`, -1 none; end_share (2K, 2): throat over pipe area, into the pipe and out of it;
    end_phase (2K,) [deg]; kinds (V,); cylinders (V, 10); throat_ends (L, 2), throat_table (L,), throat_area (L,) [m2],
    throat_phase (L,); tables (T, 1441): effective area [m2] every half degree of 720.
    """

    shape: Floats
    pipe_cells: Whole
    end_volume: Whole
    end_table: Whole
    end_share: Floats
    end_phase: Floats
    kinds: Whole
    cylinders: Floats
    throat_ends: Whole
    throat_table: Whole
    throat_area: Floats
    throat_phase: Floats
    tables: Floats


class State(NamedTuple):
    """What changes. clock (1,) [s]; peaks (K, 2): highest speed at the low end [m/s], highest Mach number anywhere."""

    conserved: Floats
    cells: Floats
    low: Floats
    high: Floats
    flux: Floats
    faces: Floats
    volumes: Floats
    gains: Floats
    tally: Floats
    sums: Floats
    peaks: Floats
    clock: Floats


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
def _end_share(network: Network, end: int, area: float, inwards: bool, angle: float) -> float:
    row = network.end_table[end]
    if row >= 0:
        return min(table_at(network.tables, row, angle - network.end_phase[end]) / area, 1.0)
    return network.end_share[end, 0] if inwards else network.end_share[end, 1]


@njit(cache=True, error_model="numpy")
def _flow_through_ends(network: Network, state: State, step: float, angle: float) -> None:
    """Face states and fluxes of all pipe ends, and what the volumes gain by them."""
    for end in range(network.end_volume.size):
        k = end // 2
        is_low = end % 2 == 0
        cell = network.pipe_cells[k, 0] if is_low else network.pipe_cells[k, 1] - 1
        face = cell if is_low else cell + 1
        out = -1.0 if is_low else 1.0
        edge = state.low if is_low else state.high
        density, speed, pressure = edge[0, cell], out * edge[1, cell], edge[2, cell]
        area = network.shape[FACE_AREA, face]
        v = network.end_volume[end]
        outer_pressure, outer_temperature, share = pressure, WARM, 0.0
        if v >= 0:
            outer_pressure = state.volumes[v, PRESSURE] + 0.5 * step * state.volumes[v, RATE]
            outer_temperature = state.volumes[v, TEMPERATURE]
            share = _end_share(network, end, area, outer_pressure > pressure, angle)
        density, speed, pressure, enthalpy = pipe_end(
            density, speed, pressure, share, outer_pressure, outer_temperature
        )
        mass = density * speed
        burnt = state.cells[3, cell]
        if mass < 0.0 and v >= 0:
            burnt = state.volumes[v, BURNT] / state.volumes[v, MASS]
        state.flux[0, face] = out * mass
        state.flux[1, face] = mass * speed + pressure
        state.flux[2, face] = out * mass * enthalpy
        state.flux[3, face] = out * mass * burnt
        state.faces[end, 0], state.faces[end, 1], state.faces[end, 2] = density, out * speed, pressure
        if v >= 0:
            state.gains[v, MASS] += mass * area
            state.gains[v, ENERGY] += mass * area * enthalpy
            state.gains[v, BURNT] += mass * area * burnt
            state.tally[v, IN_NOW] += step * mass * area * (1.0 - burnt)


@njit(cache=True, error_model="numpy")
def _flow_through_throats(network: Network, state: State, step: float, angle: float) -> None:
    """Flow between volumes. Implicit in the pressure difference: a small volume is levelled, not swung past level."""
    for i in range(network.throat_area.size):
        a, b = network.throat_ends[i, 0], network.throat_ends[i, 1]
        area = network.throat_area[i]
        if network.throat_table[i] >= 0:
            area = table_at(network.tables, network.throat_table[i], angle - network.throat_phase[i])
        if state.volumes[a, PRESSURE] < state.volumes[b, PRESSURE]:
            a, b = b, a
        drop = state.volumes[a, PRESSURE] - state.volumes[b, PRESSURE]
        if area <= 0.0 or drop <= 0.0:
            continue
        mass = area * throat_flux(state.volumes[a, PRESSURE], state.volumes[a, TEMPERATURE], state.volumes[b, PRESSURE])
        stiffness = 0.0
        for v in (a, b):
            if network.kinds[v] != RESERVOIR:
                stiffness += GAMMA * GAS_CONSTANT * state.volumes[a, TEMPERATURE] / state.volumes[v, SIZE]
        damping = 0.5 * mass * stiffness * step / drop
        mass = mass / (damping + sqrt(1.0 + damping * damping))
        enthalpy = HEAT_CONST_PRESSURE * state.volumes[a, TEMPERATURE]
        burnt = state.volumes[a, BURNT] / state.volumes[a, MASS]
        state.gains[a, MASS] -= mass
        state.gains[b, MASS] += mass
        state.gains[a, ENERGY] -= mass * enthalpy
        state.gains[b, ENERGY] += mass * enthalpy
        state.gains[a, BURNT] -= mass * burnt
        state.gains[b, BURNT] += mass * burnt


@njit(cache=True, error_model="numpy")
def _cylinder_moved_on(network: Network, state: State, v: int, step: float, rpm: float) -> None:
    row, tally, volume = network.cylinders[v], state.tally[v], state.volumes[v]
    turned = 6.0 * rpm * step
    angle = (6.0 * rpm * (state.clock[0] + step) - row[PHASE]) % 720.0
    state.sums[FUEL_HEAT] += burn(row, tally, volume, angle)
    state.sums[CYLINDER_LOSS] += cool(row, volume, step, rpm)
    work = expand(volume, cylinder_volume(row[BORE], row[STROKE], row[ROD], row[COMPRESSION], angle), HEAT_SLOPE)
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
    for k in range(network.pipe_cells.shape[0]):
        state.peaks[k, 0] = max(state.peaks[k, 0], abs(state.faces[2 * k, 1]))
        for i in range(network.pipe_cells[k, 0], network.pipe_cells[k, 1]):
            mach = abs(state.cells[1, i]) / sqrt(GAMMA * state.cells[2, i] / state.cells[0, i])
            state.peaks[k, 1] = max(state.peaks[k, 1], mach)


@njit(cache=True, error_model="numpy")
def advance(network: Network, state: State, end_time: float, rpm: float, courant: float) -> int:
    """Move the state on to end_time [s] at engine speed rpm [1/min]; gives the number of steps.

    courant : share of the stable step taken; no step passes one degree of crank.
    """
    longest = 1.0 / (6.0 * max(rpm, 1e-3))
    steps = 0
    while state.clock[0] < end_time - 1e-12:
        quickest = states_from_conserved(state.conserved, network.shape, state.cells)
        step = min(courant / quickest, longest, end_time - state.clock[0])
        _fill_ghosts(network, state)
        edges_half_step_on(step, state.cells, network.shape, state.low, state.high)
        fluxes_between_cells(state.low, state.high, state.cells, state.flux)
        angle = 6.0 * rpm * (state.clock[0] + 0.5 * step)
        _flow_through_ends(network, state, step, angle)
        _flow_through_throats(network, state, step, angle)
        heat = cells_moved_on(step, state.conserved, state.cells, state.flux, network.shape)
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
