"""Compiled law of a joint of pipes without a volume: one static pressure at all their faces, and nothing stays in it.

What comes out of some pipes is mixed and goes into the others. The unknown is Y = (joint's pressure / that of the first
pipe) ^ (1 / n), with n as for pipe ends; what flows in less what flows out falls as it grows, between the pressures at which
all pipes would be shut. Losses of branches are left out: they need measured figures of the branch.
Source: Benson, The Thermodynamics and Gas Dynamics of Internal-Combustion Engines, vol. 1 (joints of one static pressure;
memory); verified by the package's own tests.
"""

from math import sqrt

import numpy as np
import numpy.typing as npt
from numba import njit

from tractwright.air.ends.kernels import at_wall, behind_wave, sonic_root

Floats = npt.NDArray[np.float64]

# a row of `meeting`, one a pipe: its gas at the outer edge (speed towards the joint), then its face, then what helps
DENSITY, SPEED, STATIC, AREA, BURNT_SHARE = 0, 1, 2, 3, 4
FACE_DENSITY, FACE_SPEED, FACE_PRESSURE, FACE_ENTHALPY, FACE_BURNT = 5, 6, 7, 8, 9
_ROOT, _SONIC, _SOUND = 10, 11, 12
MEETING_COLUMNS = 13

_MOST_TRIES = 60
_ENOUGH = 1e-9  # of the mass that would pass at the speed of sound


@njit(cache=True, error_model="numpy")
def _comes_in(meeting: Floats, count: int, y: float, power: float) -> tuple[float, float, float]:
    """Faces of pipes that feed the joint at Y; gives (mass, enthalpy, burnt mass) that they bring."""
    mass, enthalpy, burnt = 0.0, 0.0, 0.0
    for k in range(count):
        row = meeting[k]
        pipe = (row[DENSITY], row[SPEED], row[STATIC], row[_SOUND], power)
        speed, rt, pressure = behind_wave(max(y * row[_ROOT], row[_SONIC]), pipe)
        row[FACE_SPEED], row[FACE_PRESSURE], row[FACE_DENSITY] = speed, pressure, pressure / rt
        row[FACE_ENTHALPY], row[FACE_BURNT] = 0.5 * power * rt + 0.5 * speed * speed, row[BURNT_SHARE]
        if speed > 0.0:
            flow = row[AREA] * row[FACE_DENSITY] * speed
            mass += flow
            enthalpy += flow * row[FACE_ENTHALPY]
            burnt += flow * row[FACE_BURNT]
    return mass, enthalpy, burnt


@njit(cache=True, error_model="numpy")
def _goes_out(meeting: Floats, count: int, brought: tuple[float, float, float], power: float) -> float:
    """Faces of pipes that the joint feeds with the mixture; gives the mass that they take."""
    mass, enthalpy, burnt = brought
    if mass <= 0.0:
        return 0.0
    still = 2.0 / power * enthalpy / mass
    taken = 0.0
    for k in range(count):
        row = meeting[k]
        if row[FACE_SPEED] <= 0.0:
            row[FACE_SPEED] = max(row[FACE_SPEED], -sqrt(power / (power - 1.0) * still))
            row[FACE_DENSITY] = row[FACE_PRESSURE] / (still - row[FACE_SPEED] * row[FACE_SPEED] / power)
            row[FACE_ENTHALPY], row[FACE_BURNT] = enthalpy / mass, burnt / mass
            taken -= row[AREA] * row[FACE_DENSITY] * row[FACE_SPEED]
    return taken


@njit(cache=True, error_model="numpy")
def _bracket(meeting: Floats, count: int, power: float) -> tuple[float, float, float]:
    """(least Y, greatest Y, mass that would pass at the speed of sound); fills what helps."""
    least, most, scale = 1e300, 0.0, 0.0
    for k in range(count):
        row = meeting[k]
        row[_SOUND] = sqrt(power / (power - 2.0) * row[STATIC] / row[DENSITY])
        row[_ROOT] = (meeting[0, STATIC] / row[STATIC]) ** (1.0 / power)
        pipe = (row[DENSITY], row[SPEED], row[STATIC], row[_SOUND], power)
        row[_SONIC] = sonic_root(pipe)
        y = at_wall(pipe)[2] / row[_ROOT]
        least, most = min(least, y), max(most, y)
        scale += row[AREA] * row[DENSITY] * row[_SOUND]
    return least, most, scale


@njit(cache=True, error_model="numpy")
def meet(meeting: Floats, count: int, power: float) -> None:
    """Fill the faces of the pipes that meet, from their gas: as much goes out as comes in, to rounding.

    meeting (at least count, 13): rows as above; power : n of their gas, the same in all.
    """
    low, high, scale = _bracket(meeting, count, power)
    y, side, over_low, over_high = 0.5 * (low + high), 0, 0.0, 0.0
    mass, taken = 0.0, 0.0
    for _ in range(_MOST_TRIES):
        brought = _comes_in(meeting, count, y, power)
        mass, taken = brought[0], _goes_out(meeting, count, brought, power)
        over = mass - taken
        if abs(over) <= _ENOUGH * scale or high - low < 1e-15:
            break
        if over > 0.0:
            low, over_low = y, over
            over_high = 0.5 * over_high if side > 0 else over_high
            side = 1
        else:
            high, over_high = y, over
            over_low = 0.5 * over_low if side < 0 else over_low
            side = -1
        y = 0.5 * (low + high)
        if over_low > 0.0 > over_high:
            y = (low * over_high - high * over_low) / (over_high - over_low)
    share = mass / taken if taken > 0.0 else 0.0
    for k in range(count):
        if meeting[k, FACE_SPEED] <= 0.0:
            meeting[k, FACE_DENSITY] *= share if share > 0.0 else 1.0
            meeting[k, FACE_SPEED] *= 1.0 if share > 0.0 else 0.0
        elif share == 0.0:
            meeting[k, FACE_SPEED] = 0.0
