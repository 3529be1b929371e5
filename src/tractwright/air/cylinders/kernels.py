"""Compiled laws of the gas in a volume or cylinder: piston, heat release, heat loss; and tables over the crank angle.

A volume is a row of numbers (mass, energy, burnt mass, size, pressure, temperature, rate of pressure); a cylinder has a
row of constants and a row of tallies besides. SI units, degrees of crank for angles.
"""

from math import asin, cos, exp, log, pi, radians, sin, sqrt

import numpy as np
import numpy.typing as npt
from numba import njit

from tractwright.air.flow.kernels import GAS_CONSTANT, HEAT_CONST_PRESSURE, HEAT_CONST_VOLUME, HOT

Floats = npt.NDArray[np.float64]

# a volume's row
MASS, ENERGY, BURNT, SIZE, PRESSURE, TEMPERATURE, RATE = 0, 1, 2, 3, 4, 5, 6
VOLUME_COLUMNS = 7
# a cylinder's constants
BORE, STROKE, ROD, COMPRESSION, PHASE, HEAT, WALL, BURN_START, BURN_LENGTH, CLOSES = 0, 1, 2, 3, 4, 5, 6, 7, 8, 9
PIN_OFFSET = 10
CYLINDER_COLUMNS = 11
# a cylinder's tallies: since the inlet valve last shut, and over the whole cycle before that
IN_NOW, WORK_NOW, DELIVERED, TRAPPED, WORK, TO_BURN, SHARE_BURNT, RESIDUAL = 0, 1, 2, 3, 4, 5, 6, 7
TALLY_COLUMNS = 8

WARM = 350.0  # K; below it the specific heat of a cylinder's gas is that of cold air
HEAT_SLOPE = 0.178  # J/(kg K2): rise of the specific heat of air above WARM; energy to 2 000 K within 1.5 % (tested)
WIEBE_A = 5.0
_MATCHED = 1000.0  # K; where gas of a pipe of hot gas has the enthalpy of a cylinder's
HOT_ZERO = (HEAT_CONST_VOLUME + GAS_CONSTANT - 0.5 * HOT * GAS_CONSTANT) * _MATCHED + 0.5 * HEAT_SLOPE * (
    _MATCHED - WARM
) ** 2
"""Enthalpy [J/kg] that gas of a pipe of hot gas has over what its own law of constant specific heat gives it."""


@njit(cache=True, error_model="numpy")
def cylinder_volume(bore: float, stroke: float, rod: float, offset: float, compression: float, angle: float) -> float:
    """Gas volume [m3] at a crank angle [deg] from the piston's top dead centre.

    stroke : twice the crank's throw; offset [m] : of the piston pin from the plane of the crankshaft.
    """
    crank = 0.5 * stroke
    turned = radians(angle) + (asin(offset / (rod + crank)) if offset != 0.0 else 0.0)
    across = crank * sin(turned) - offset
    top = sqrt((rod + crank) * (rod + crank) - offset * offset)
    down = top - crank * cos(turned) - sqrt(rod * rod - across * across)
    return pi / 4.0 * bore * bore * (stroke / (compression - 1.0) + down)


@njit(cache=True, error_model="numpy")
def heat_content(temperature: float, slope: float) -> float:
    """Internal energy [J/kg] with the specific heat rising by `slope` [J/(kg K2)] above WARM."""
    above = max(temperature - WARM, 0.0)
    return HEAT_CONST_VOLUME * temperature + 0.5 * slope * above * above


@njit(cache=True, error_model="numpy")
def temperature_of(energy: float, slope: float) -> float:
    """Inverse of `heat_content` [K]."""
    above = energy - HEAT_CONST_VOLUME * WARM
    if above <= 0.0 or slope == 0.0:
        return energy / HEAT_CONST_VOLUME
    return WARM + 2.0 * above / (HEAT_CONST_VOLUME + sqrt(HEAT_CONST_VOLUME * HEAT_CONST_VOLUME + 2.0 * slope * above))


@njit(cache=True, error_model="numpy")
def table_at(tables: Floats, row: int, angle: float) -> float:
    """Value of a row of a table kept every half degree, at any crank angle [deg]."""
    place = (angle % 720.0) * 2.0
    i = min(int(place), 1439)
    share = place - i
    return tables[row, i] * (1.0 - share) + tables[row, i + 1] * share


@njit(cache=True, error_model="numpy")
def burn(row: Floats, tally: Floats, volume: Floats, angle: float) -> float:
    """Heat released [J] up to this crank angle [deg] since the last call, by Wiebe's law (a = 5, m = 2)."""
    burning = angle - row[BURN_START]
    if not 0.0 <= burning < row[BURN_LENGTH]:
        tally[SHARE_BURNT] = 0.0
        return 0.0
    if tally[SHARE_BURNT] == 0.0:
        tally[TO_BURN] = max(volume[MASS] - volume[BURNT], 0.0)
    share = burning / row[BURN_LENGTH]
    done = (1.0 - exp(-WIEBE_A * share * share * share)) / (1.0 - exp(-WIEBE_A))
    burnt = max(done - tally[SHARE_BURNT], 0.0) * tally[TO_BURN]
    volume[ENERGY] += burnt * row[HEAT]
    volume[BURNT] += burnt
    tally[SHARE_BURNT] = max(done, 1e-12)
    return burnt * row[HEAT]


@njit(cache=True, error_model="numpy")
def cool(row: Floats, volume: Floats, step: float, rpm: float) -> float:
    """Heat lost to the walls [J] in a step, by Hohenberg's film [memory]; none where the wall temperature is 0."""
    if row[WALL] <= 0.0:
        return 0.0
    hot = volume[PRESSURE] * volume[SIZE] / (volume[MASS] * GAS_CONSTANT)
    stirred = 2.0 * row[STROKE] * rpm / 60.0 + 1.4
    film = 130.0 * exp(0.8 * log(volume[PRESSURE] * 1e-5 * stirred) - 0.06 * log(volume[SIZE]) - 0.4 * log(hot))
    surface = 0.5 * pi * row[BORE] * row[BORE] + 4.0 * volume[SIZE] / row[BORE]
    loss = step * film * surface * (hot - row[WALL])
    volume[ENERGY] -= loss
    return loss


@njit(cache=True, error_model="numpy")
def expand(volume: Floats, size: float, slope: float) -> float:
    """Piston work [J] of a volume brought to a new size at the mean of the old and the new pressure."""
    before = volume[PRESSURE]
    growth = size - volume[SIZE]
    pressure = before
    work = 0.0
    for _ in range(2):
        work = 0.5 * (before + pressure) * growth
        heat = temperature_of((volume[ENERGY] - work) / volume[MASS], slope)
        pressure = volume[MASS] * GAS_CONSTANT * heat / size
    volume[ENERGY] -= work
    volume[SIZE] = size
    return work


@njit(cache=True, error_model="numpy")
def set_state(volume: Floats, step: float, slope: float) -> None:
    """Pressure, its rate, and the temperature at which cold air has this gas's enthalpy."""
    heat = temperature_of(volume[ENERGY] / volume[MASS], slope)
    pressure = volume[MASS] * GAS_CONSTANT * heat / volume[SIZE]
    volume[RATE] = (pressure - volume[PRESSURE]) / step
    volume[PRESSURE] = pressure
    volume[TEMPERATURE] = (volume[ENERGY] / volume[MASS] + GAS_CONSTANT * heat) / HEAT_CONST_PRESSURE


@njit(cache=True, error_model="numpy")
def close_the_books(tally: Floats, volume: Floats) -> None:
    """The inlet valve has shut: what came in since it last did, what is kept, how much of it is
    burnt gas, and the work of that cycle.
    """
    tally[DELIVERED], tally[TRAPPED], tally[WORK] = tally[IN_NOW], volume[MASS] - volume[BURNT], tally[WORK_NOW]
    tally[RESIDUAL] = volume[BURNT] / volume[MASS]
    tally[IN_NOW], tally[WORK_NOW] = 0.0, 0.0
