"""Compiled loops over the cells of all pipes at once: air in SI units, second order in space and time.

Every pipe lies in one run of cells with a ghost cell at each of its ends; face j stands between cells j-1 and j.
Slopes of (density, speed, pressure) are limited, moved on half a step, and meet at the faces in an HLLC flux.
Loops start at 0 and only ever add to the index: an index that might wrap keeps the compiler from using wide registers.

Rows of the arrays: cell conserved = (density, momentum, energy, burnt density) a m3; state = (density, speed, pressure,
burnt share); edge = (density, speed, pressure) at the cell's low or high edge; flux = (mass, momentum, energy, burnt)
a m2; shape = the *_ROW numbers below.
Sources: Toro, Riemann Solvers and Numerical Methods for Fluid Dynamics, ch. 10, 14 (memory); verified by its own tests.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]

COLD, HOT = 7.0, 8.0  # n = 2 gamma / (gamma - 1): of cold air (gamma 1.4), of gas at about 1 000 K (gamma 4/3)
GAMMA = COLD / (COLD - 2.0)
GAS_CONSTANT = 287.05  # J/(kg K), dry air
GAMMA_1 = GAMMA - 1.0
HEAT_CONST_PRESSURE = GAMMA * GAS_CONSTANT / GAMMA_1
HEAT_CONST_VOLUME = GAS_CONSTANT / GAMMA_1
RECOVERY = 0.89  # share of the dynamic temperature felt by a wall, turbulent air: Prandtl number ^ (1/3)
LEAST_SHARE = 0.05  # an edge state keeps at least this share of its cell's density and pressure

PER_LENGTH, AREA_SLOPE, PER_VOLUME, FRICTION, WALL_HEAT, WALL_TEMPERATURE, FACE_AREA = 0, 1, 2, 3, 4, 5, 6
SHAPE_ROWS = 7

_EXACT_ENOUGH = {"contract", "reassoc", "nsz", "arcp"}  # reordering only: not-a-number stays not-a-number


class Lane(NamedTuple):
    """A run of cells of one gas: first cell, one past the last, n of its gas."""

    first: int
    past: int
    power: float


@njit(inline="always")
def _limited(below: float, above: float) -> float:
    """Monotonised central slope of two one-sided differences."""
    middle = 0.5 * (below + above)
    steepest = 2.0 * min(abs(below), abs(above))
    size = min(steepest, abs(middle))
    return (size if middle > 0.0 else -size) if below * above > 0.0 else 0.0


@njit(inline="always")
def _largest(values: Floats) -> float:
    """The largest of positive values, four at a time: one running maximum would wait for itself."""
    a = b = c = d = 0.0
    quarter = values.size // 4
    for i in range(quarter):
        a = max(a, values[4 * i])
        b = max(b, values[4 * i + 1])
        c = max(c, values[4 * i + 2])
        d = max(d, values[4 * i + 3])
    for i in range(4 * quarter, values.size):
        a = max(a, values[i])
    return max(a, b, c, d)


@njit(cache=True, error_model="numpy", fastmath=_EXACT_ENOUGH)
def states_from_conserved(conserved: Floats, shape: Floats, state: Floats, lane: Lane) -> float:
    """Fill `state`; gives the largest (|speed| + sound speed) / cell length [1/s], ghosts left out by their 0."""
    a, b = lane.first, lane.past
    density, momentum, energy, burnt = conserved[0][a:b], conserved[1][a:b], conserved[2][a:b], conserved[3][a:b]
    per_length = shape[PER_LENGTH][a:b]
    out_density, out_speed, out_pressure, out_share = state[0][a:b], state[1][a:b], state[2][a:b], state[3][a:b]
    rate = state[4][a:b]
    gamma = lane.power / (lane.power - 2.0)
    gamma_1 = gamma - 1.0
    for i in range(density.size):
        inverse = 1.0 / density[i]
        speed = momentum[i] * inverse
        pressure = gamma_1 * (energy[i] - 0.5 * momentum[i] * speed)
        out_density[i] = density[i]
        out_speed[i] = speed
        out_pressure[i] = pressure
        out_share[i] = burnt[i] * inverse
        rate[i] = (abs(speed) + sqrt(gamma * pressure * inverse)) * per_length[i]
    return _largest(rate)


@njit(cache=True, error_model="numpy", fastmath=_EXACT_ENOUGH)
def edges_half_step_on(step: float, state: Floats, shape: Floats, low: Floats, high: Floats, lane: Lane) -> None:
    """Limited slopes, and both edges of each inner cell moved on half of `step` [s] by the equations in (rho, u, p)."""
    a, b = lane.first, lane.past
    density, speed, pressure = state[0][a:b], state[1][a:b], state[2][a:b]
    per_length, area_slope = shape[PER_LENGTH][a:b], shape[AREA_SLOPE][a:b]
    low_density, low_speed, low_pressure = low[0][a:b], low[1][a:b], low[2][a:b]
    high_density, high_speed, high_pressure = high[0][a:b], high[1][a:b], high[2][a:b]
    half = 0.5 * step
    gamma = lane.power / (lane.power - 2.0)
    for i in range(density.size - 2):
        r, u, p = density[i + 1], speed[i + 1], pressure[i + 1]
        dr = _limited(r - density[i], density[i + 2] - r)
        du = _limited(u - speed[i], speed[i + 2] - u)
        dp = _limited(p - pressure[i], pressure[i + 2] - p)
        k = half * per_length[i + 1]
        spreading = du + u * area_slope[i + 1]
        r_on = r - k * (u * dr + r * spreading)
        u_on = u - k * (u * du + dp / r)
        p_on = p - k * (u * dp + gamma * p * spreading)
        low_density[i + 1] = max(r_on - 0.5 * dr, LEAST_SHARE * r)
        low_speed[i + 1] = u_on - 0.5 * du
        low_pressure[i + 1] = max(p_on - 0.5 * dp, LEAST_SHARE * p)
        high_density[i + 1] = max(r_on + 0.5 * dr, LEAST_SHARE * r)
        high_speed[i + 1] = u_on + 0.5 * du
        high_pressure[i + 1] = max(p_on + 0.5 * dp, LEAST_SHARE * p)


@njit(cache=True, error_model="numpy", fastmath=_EXACT_ENOUGH)
def fluxes_between_cells(low: Floats, high: Floats, state: Floats, flux: Floats, lane: Lane) -> None:
    """HLLC flux at every face from the edges on both sides; burnt gas goes with the mass, from where that comes."""
    first, past = lane.first, lane.past
    a_density, a_speed, a_pressure = high[0][first:past], high[1][first:past], high[2][first:past]
    b_density, b_speed, b_pressure = low[0][first:past], low[1][first:past], low[2][first:past]
    share = state[3][first:past]
    mass_flux, momentum_flux = flux[0][first:past], flux[1][first:past]
    energy_flux, burnt_flux = flux[2][first:past], flux[3][first:past]
    gamma = lane.power / (lane.power - 2.0)
    per_gamma_1 = 0.5 * (lane.power - 2.0)
    for i in range(a_density.size - 1):
        ra, ua, pa = a_density[i], a_speed[i], a_pressure[i]
        rb, ub, pb = b_density[i + 1], b_speed[i + 1], b_pressure[i + 1]
        shared = gamma / (ra * rb)  # one division for both speeds of sound
        ca, cb = sqrt(pa * rb * shared), sqrt(pb * ra * shared)
        wave_a = min(ua - ca, ub - cb)
        wave_b = max(ua + ca, ub + cb)
        in_a, in_b = ra * (wave_a - ua), rb * (wave_b - ub)
        contact = (pb - pa + in_a * ua - in_b * ub) / (in_a - in_b)
        from_a = contact >= 0.0
        r, u, p = (ra, ua, pa) if from_a else (rb, ub, pb)
        wave, mass_in = (wave_a, in_a) if from_a else (wave_b, in_b)
        energy = p * per_gamma_1 + 0.5 * r * u * u
        inside = wave < 0.0 if from_a else wave > 0.0
        factor = 1.0 / (wave - contact)
        star_pressure = p + mass_in * (contact - u)
        star_energy = ((wave - u) * energy - p * u + star_pressure * contact) * factor
        r = mass_in * factor if inside else r
        u = contact if inside else u
        p = star_pressure if inside else p
        energy = star_energy if inside else energy
        mass = r * u
        mass_flux[i + 1] = mass
        momentum_flux[i + 1] = mass * u + p
        energy_flux[i + 1] = u * (energy + p)
        burnt_flux[i + 1] = mass * (share[i] if mass >= 0.0 else share[i + 1])


@njit(cache=True, error_model="numpy", fastmath=_EXACT_ENOUGH)
def cells_moved_on(step: float, conserved: Floats, state: Floats, flux: Floats, shape: Floats, lane: Lane) -> float:
    """Move every inner cell on by `step` [s]; gives the heat taken from the walls [J].

    The pressure on the side walls of a taper is taken as the cell's own: faces carry the difference to it, so that gas at
    rest stays at rest whatever the areas. Friction is implicit in the speed; wall heat by Reynolds' analogy.
    """
    c, d = lane.first, lane.past
    density, momentum, energy, burnt = conserved[0][c:d], conserved[1][c:d], conserved[2][c:d], conserved[3][c:d]
    speed, pressure = state[1][c:d], state[2][c:d]
    mass_flux, momentum_flux, energy_flux, burnt_flux = flux[0][c:d], flux[1][c:d], flux[2][c:d], flux[3][c:d]
    per_volume, friction, wall_heat = shape[PER_VOLUME][c:d], shape[FRICTION][c:d], shape[WALL_HEAT][c:d]
    wall_temperature, area = shape[WALL_TEMPERATURE][c:d], shape[FACE_AREA][c:d]
    heat_const_pressure = 0.5 * lane.power * GAS_CONSTANT
    felt_head = 0.5 * RECOVERY / heat_const_pressure
    heat_taken = 0.0
    for i in range(density.size - 2):
        k = step * per_volume[i + 1]
        a, b = area[i + 1], area[i + 2]
        r, u, p = density[i + 1], speed[i + 1], pressure[i + 1]
        size = abs(u)
        felt = p / GAS_CONSTANT + r * felt_head * u * u
        heat = step * size * wall_heat[i + 1] * heat_const_pressure * (r * wall_temperature[i + 1] - felt)
        density[i + 1] = r - k * (mass_flux[i + 2] * b - mass_flux[i + 1] * a)
        pushed = momentum[i + 1] - k * ((momentum_flux[i + 2] - p) * b - (momentum_flux[i + 1] - p) * a)
        momentum[i + 1] = pushed / (1.0 + step * size * friction[i + 1])
        energy[i + 1] = energy[i + 1] - k * (energy_flux[i + 2] * b - energy_flux[i + 1] * a) + heat
        burnt[i + 1] = burnt[i + 1] - k * (burnt_flux[i + 2] * b - burnt_flux[i + 1] * a)
        heat_taken += heat / max(per_volume[i + 1], 1e-300)
    return heat_taken
