"""Compiled laws of throats and of every kind of pipe end: closed, open, orifice, valve, choked, either way of flow.

One routine serves all ends. The unknown is y = (face pressure / pressure in the pipe) ^ (1/7): with gamma = 1.4 the wave
that runs back into the pipe and the isentropic throat law are plain polynomials and one square root in it.
Sources: Toro, Riemann Solvers (wave relations); Benson, The Thermodynamics and Gas Dynamics of Internal-Combustion
Engines, vol. 1 (ends as quasi-steady throats) (both memory); verified by the package's own tests.
"""

from math import sqrt

from numba import njit

from tractwright.air.flow.kernels import GAMMA, GAMMA_1, GAS_CONSTANT

CRITICAL_RATIO = (2.0 / (GAMMA + 1.0)) ** (GAMMA / GAMMA_1)
CHOKED_FLUX = sqrt(GAMMA) * (2.0 / (GAMMA + 1.0)) ** ((GAMMA + 1.0) / (2.0 * GAMMA_1))
_CRITICAL_ROOT = CRITICAL_RATIO ** (1.0 / 7.0)
_MOST_TRIES = 40

Face = tuple[float, float, float, float]
_Try = tuple[float, float, float, float, float, float]


@njit(inline="always")
def _throat_flux(pressure: float, root_rt: float, y: float) -> float:
    """Mass flux [kg/(s m2)] from stagnation pressure and sqrt(R T0) to a back pressure y^7 times that pressure."""
    if y <= _CRITICAL_ROOT:
        return CHOKED_FLUX * pressure / root_rt
    if y >= 1.0:
        return 0.0
    square = y * y
    return pressure / root_rt * square * square * y * sqrt(2.0 * GAMMA / GAMMA_1 * (1.0 - square))


@njit(cache=True, error_model="numpy")
def throat_flux(pressure: float, temperature: float, back_pressure: float) -> float:
    """Mass flux [kg/(s m2)] of a frictionless throat from stagnation pressure [Pa] and temperature [K]."""
    root = (min(back_pressure / pressure, 1.0)) ** (1.0 / 7.0)
    return _throat_flux(pressure, sqrt(GAS_CONSTANT * temperature), root)


@njit(inline="always")
def _behind_wave(y: float, pipe: tuple[float, float, float, float]) -> tuple[float, float, float]:
    """(speed, R x temperature, pressure) behind the wave that changes the pipe's pressure by the factor y^7."""
    density, speed, pressure, sound = pipe
    square = y * y
    ratio = square * square * square * y
    rt = pressure / density
    if y > 1.0:  # a shock
        speed = speed - sound * (ratio - 1.0) * sqrt(2.0 / (GAMMA * ((GAMMA + 1.0) * ratio + GAMMA_1)))
        rt = rt * ratio * (ratio * GAMMA_1 + GAMMA + 1.0) / ((GAMMA + 1.0) * ratio + GAMMA_1)
    else:
        speed = speed - 2.0 / GAMMA_1 * sound * (y - 1.0)
        rt = rt * square
    return speed, rt, ratio * pressure


@njit(inline="always")
def _leaving(y: float, pipe: tuple[float, float, float, float], throat_share: float, outer_root: float) -> _Try:
    """Outflow at face pressure y^7: (what the throat passes less what the pipe brings, density, speed, pressure, h0, sum).

    outer_root : (outer pressure / pipe pressure) ^ (1/7).
    """
    speed, rt, pressure = _behind_wave(y, pipe)
    heating = 1.0 + 0.5 * speed * speed * GAMMA_1 / (GAMMA * rt)  # stagnation over static temperature
    root = sqrt(heating)
    stagnation = pressure * heating * heating * heating * root
    density = pressure / rt
    passed = throat_share * _throat_flux(stagnation, sqrt(rt * heating), outer_root / (y * root))
    brought = density * speed
    return passed - brought, density, speed, pressure, GAMMA / GAMMA_1 * rt * heating, passed + brought


@njit(inline="always")
def _entering(
    y: float, pipe: tuple[float, float, float, float], throat_share: float, outer: tuple[float, float, float]
) -> _Try:
    """Inflow at face pressure y^7, from rest outside: as `_leaving`. The speed at the face cannot pass that of sound."""
    outer_root, outer_pressure, outer_rt = outer
    speed, _, pressure = _behind_wave(y, pipe)
    speed = max(speed, -sqrt(2.0 * GAMMA / (GAMMA + 1.0) * outer_rt))
    rt = outer_rt - 0.5 * speed * speed * GAMMA_1 / GAMMA
    density = pressure / rt
    passed = throat_share * _throat_flux(outer_pressure, sqrt(outer_rt), y / outer_root)
    taken = -density * speed
    return taken - passed, density, speed, pressure, GAMMA / GAMMA_1 * outer_rt, taken + passed


@njit(inline="always")
def _at_wall(pipe: tuple[float, float, float, float]) -> tuple[float, float, float]:
    """(density, pressure, y) where the end is shut and the gas is brought to rest."""
    density, speed, pressure, sound = pipe
    mach = speed / sound
    if mach > 0.0:
        k = 0.25 * (GAMMA + 1.0) * mach
        ratio = 1.0 + GAMMA * mach * (k + sqrt(1.0 + k * k))
        squeezed = ((GAMMA + 1.0) * ratio + GAMMA_1) / (GAMMA_1 * ratio + GAMMA + 1.0)
        return density * squeezed, pressure * ratio, ratio ** (1.0 / 7.0)
    y = max(1.0 + 0.5 * GAMMA_1 * mach, 0.05)
    square = y * y
    return density * square * square * y, pressure * square * square * square * y, y


@njit(inline="always")
def _outflow_bracket(
    pipe: tuple[float, float, float, float], outer_root: float, wall_root: float
) -> tuple[float, float, float]:
    """(lowest y, highest y, outer root below which a supersonic arrival passes undisturbed) of an outflow."""
    _, speed, _, sound = pipe
    mach = speed / sound
    sonic = (0.5 * GAMMA_1 * mach + 1.0) * (2.0 / (GAMMA + 1.0))
    undisturbed = 0.0
    if mach >= 1.0:  # a standing shock at the face
        sonic = (1.0 + 2.0 * GAMMA / (GAMMA + 1.0) * (mach * mach - 1.0)) ** (1.0 / 7.0)
        undisturbed = sonic
    lowest = max(sonic, outer_root)
    return lowest, max(wall_root, lowest), undisturbed


@njit(inline="always")
def _low_speed_guess(
    pipe: tuple[float, float, float, float], throat_share: float, drop: float, outer_density: float
) -> tuple[float, float]:
    """(outward speed at the face, slope of the excess over it) where density hardly changes.

    drop : wall pressure less outer pressure. The pipe's pressure falls by density x sound x speed, the throat takes
    k x density x speed^2 / 2, k = 1 / share^2 inwards, less 1 outwards where the pipe's own head helps.
    """
    density, _, _, sound = pipe
    wave = density * sound
    square = throat_share * throat_share
    if drop > 0.0:
        head = (1.0 / square - 1.0) * density
        speed = 2.0 * drop / (wave * (1.0 + sqrt(1.0 + 2.0 * head * drop / (wave * wave))))
        return speed, -density * (square * max(sound / speed - 1.0, 0.0) + 1.0)
    head = outer_density / square
    speed = -2.0 * drop / (wave * (1.0 + sqrt(1.0 - 2.0 * head * drop / (wave * wave))))
    return -speed, -(outer_density + square * wave / speed)


@njit(cache=True, error_model="numpy")
def pipe_end(
    density: float,
    speed: float,
    pressure: float,
    throat_share: float,
    outer_pressure: float,
    outer_temperature: float,
) -> Face:
    """The face state at a pipe's end joined through a throat to gas at rest: (density, speed, pressure, stagnation h).

    density, speed (outwards), pressure : of the pipe's last cell at its outer edge. throat_share : effective throat area
    over the pipe's area, 0 shut to 1 open. The same mass and energy flux belong to both sides.
    """
    sound = sqrt(GAMMA * pressure / density)
    pipe = (density, speed, pressure, sound)
    wall_density, wall_pressure, wall_root = _at_wall(pipe)
    if throat_share < 1e-12 or wall_pressure == outer_pressure:
        return wall_density, 0.0, wall_pressure, 0.0
    outer_rt = GAS_CONSTANT * outer_temperature
    outer_root = (outer_pressure / pressure) ** (1.0 / 7.0)
    outer = (outer_root, outer_pressure, outer_rt)
    enough = 1e-8 * density * sound
    leaving = wall_pressure > outer_pressure
    if leaving:
        low, high, undisturbed = _outflow_bracket(pipe, outer_root, wall_root)
        as_it_comes = _leaving(1.0, pipe, throat_share, outer_root)
        if outer_root < undisturbed and as_it_comes[0] >= 0.0:
            return as_it_comes[1], as_it_comes[2], as_it_comes[3], as_it_comes[4]
        found = _leaving(low, pipe, throat_share, outer_root)
        if found[0] >= -enough:
            return found[1], found[2], found[3], found[4]
    else:
        low, high = wall_root, outer_root
    through, slope = _low_speed_guess(pipe, throat_share, wall_pressure - outer_pressure, outer_pressure / outer_rt)
    per_speed = -0.5 * GAMMA_1 / sound  # change of y with the face's outward speed
    y = min(max(1.0 + (through - speed) * per_speed, low), high)
    found = _leaving(y, pipe, throat_share, outer_root) if leaving else _entering(y, pipe, throat_share, outer)
    step = -found[0] / slope * per_speed
    tries = 0
    # Secants on the difference of the squared flows: unlike the flows it has no vertical tangent where a throat is at rest.
    while abs(found[0]) > enough and high - low > 1e-14 and tries < _MOST_TRIES:
        low, high = (low, y) if found[0] > 0.0 else (y, high)
        before, squares = y, found[0] * found[5]
        y = y + step
        if not low < y < high:
            y = 0.5 * (low + high)
        found = _leaving(y, pipe, throat_share, outer_root) if leaving else _entering(y, pipe, throat_share, outer)
        change = found[0] * found[5] - squares
        step = -found[0] * found[5] * (y - before) / change if change != 0.0 else 0.5 * (high - low)
        tries += 1
    return found[1], found[2], found[3], found[4]
