"""Compiled flows between the parts of a network: pipe ends and volumes, pipes that meet, throats between volumes.

Conservation holds to rounding: a pipe end and its volume, pipes that meet, both sides of a throat get the same flux.
"""

from math import sqrt

from numba import njit

from tractwright.air.cylinders.kernels import (
    BURNT,
    ENERGY,
    HOT_ZERO,
    IN_NOW,
    MASS,
    PRESSURE,
    RATE,
    SIZE,
    TEMPERATURE,
    WARM,
    table_at,
)
from tractwright.air.ends.kernels import pipe_end, throat_flux
from tractwright.air.flow.kernels import COLD, FACE_AREA, GAMMA, GAS_CONSTANT, HEAT_CONST_PRESSURE, HOT
from tractwright.air.joints.kernels import (
    AREA,
    BURNT_SHARE,
    DENSITY,
    FACE_BURNT,
    FACE_DENSITY,
    FACE_ENTHALPY,
    FACE_PRESSURE,
    FACE_SPEED,
    SPEED,
    STATIC,
    meet,
)
from tractwright.air.network.bundles import JOINED, RESERVOIR, Network, State, place_of


@njit(cache=True, error_model="numpy")
def _end_share(network: Network, end: int, area: float, inwards: bool, angle: float) -> float:
    row = network.end_table[end]
    if row >= 0:
        return min(table_at(network.tables, row, angle - network.end_phase[end]) / area, 1.0)
    return network.end_share[end, 0] if inwards else network.end_share[end, 1]


@njit(inline="always")
def _pass_face(network: Network, state: State, end: int, face: tuple[float, float, float, float], burnt: float) -> None:
    """Keep the state (density, speed outwards, pressure, enthalpy) of a pipe's face and its fluxes."""
    _, j, out = place_of(network, end)
    density, speed, pressure, enthalpy = face
    mass = density * speed
    state.flux[0, j] = out * mass
    state.flux[1, j] = mass * speed + pressure
    state.flux[2, j] = out * mass * enthalpy
    state.flux[3, j] = out * mass * burnt
    state.faces[end, 0], state.faces[end, 1], state.faces[end, 2] = density, out * speed, pressure


@njit(cache=True, error_model="numpy")
def flow_through_ends(network: Network, state: State, step: float, angle: float) -> None:
    """Face states and fluxes of all pipe ends that do not meet others, and what the volumes gain by them."""
    for end in range(network.end_volume.size):
        v = network.end_volume[end]
        if v == JOINED:
            continue
        cell, j, out = place_of(network, end)
        edge = state.low if out < 0.0 else state.high
        density, speed, pressure = edge[0, cell], out * edge[1, cell], edge[2, cell]
        area, power = network.shape[FACE_AREA, j], network.end_power[end]
        outer_pressure, outer_temperature, share, zero = pressure, WARM, 0.0, 0.0
        if v >= 0:
            outer_pressure = state.volumes[v, PRESSURE] + 0.5 * step * state.volumes[v, RATE]
            outer_temperature = state.volumes[v, TEMPERATURE]
            if power == HOT:
                zero = HOT_ZERO
                outer_temperature = (HEAT_CONST_PRESSURE * outer_temperature - zero) / (0.5 * HOT * GAS_CONSTANT)
            share = _end_share(network, end, area, outer_pressure > pressure, angle)
        face = pipe_end(density, speed, pressure, share, outer_pressure, outer_temperature, power)
        mass = face[0] * face[1]
        burnt = state.cells[3, cell]
        if mass < 0.0 and v >= 0:
            burnt = state.volumes[v, BURNT] / state.volumes[v, MASS]
        _pass_face(network, state, end, face, burnt)
        if v >= 0:
            state.gains[v, MASS] += mass * area
            state.gains[v, ENERGY] += mass * area * (face[3] + zero)
            state.gains[v, BURNT] += mass * area * burnt
            if power == COLD:
                state.tally[v, IN_NOW] += step * mass * area * (1.0 - burnt)


@njit(cache=True, error_model="numpy")
def flow_through_joints(network: Network, state: State) -> None:
    """Face states and fluxes of the pipe ends that meet."""
    meeting = state.meeting
    for i in range(network.joints.shape[0]):
        count = 0
        for end in network.joints[i]:
            if end >= 0:
                cell, j, out = place_of(network, end)
                edge = state.low if out < 0.0 else state.high
                row = meeting[count]
                row[DENSITY], row[SPEED], row[STATIC] = edge[0, cell], out * edge[1, cell], edge[2, cell]
                row[AREA], row[BURNT_SHARE] = network.shape[FACE_AREA, j], state.cells[3, cell]
                count += 1
        meet(meeting, count, float(network.end_power[network.joints[i, 0]]))
        for k in range(count):
            row = meeting[k]
            face = (row[FACE_DENSITY], row[FACE_SPEED], row[FACE_PRESSURE], row[FACE_ENTHALPY])
            _pass_face(network, state, network.joints[i, k], face, row[FACE_BURNT])


@njit(cache=True, error_model="numpy")
def flow_through_throats(network: Network, state: State, step: float, angle: float) -> None:
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
