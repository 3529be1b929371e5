"""Compiled laws of throats and of every kind of pipe end: closed, open, orifice, valve, choked, either way of flow.

One routine serves all ends. The unknown is y = (face pressure / pressure in the pipe) ^ (1 / n), n = 2 gamma / (gamma - 1):
the wave that runs back into the pipe and the isentropic throat law are plain polynomials and one square root in it where n
is whole. It is 7 for cold air (gamma = 1.4) and 8 for hot gas (gamma = 4/3); gamma = n / (n - 2).
Sources: Toro, Riemann Solvers (wave relations); Benson, The Thermodynamics and Gas Dynamics of Internal-Combustion
Engines, vol. 1 (ends as quasi-steady throats) (both memory); verified by the package's own tests.
"""

from math import sqrt

from numba import njit

from tractwright.air.flow.kernels import COLD, GAMMA, GAS_CONSTANT

CRITICAL_RATIO = (2.0 / (GAMMA + 1.0)) ** (0.5 * COLD)
_MOST_TRIES = 40

Pipe = tuple[float, float, float, float, float]
"""A pipe's gas at its outer edge: density, speed outwards, pressure, sound speed, power n of its gas."""
Face = tuple[float, float, float, float]
_Try = tuple[float, float, float, float, float, float]


@njit(inline="always")
def _less_two(y: float, power: float) -> float:
    """Y ^ (power - 2)."""
    square = y * y
    return square * square * (y if power == COLD else square)


@njit(inline="always")
def _throat_flux(pressure: float, root_rt: float, y: float, power: float) -> float:
    """Mass flux [kg/(s m2)] from stagnation pressure and sqrt(R T0) to a back pressure y^n times that pressure."""
    y = max(y, sqrt((power - 2.0) / (power - 1.0)))  # it chokes
    if y >= 1.0:
        return 0.0
    return pressure / root_rt * _less_two(y, power) * sqrt(power * (1.0 - y * y))


@njit(cache=True, error_model="numpy")
def throat_flux(pressure: float, temperature: float, back_pressure: float) -> float:
    """Mass flux [kg/(s m2)] of cold air through a frictionless throat from stagnation pressure [Pa] and temperature [K]."""
    root = (min(back_pressure / pressure, 1.0)) ** (1.0 / COLD)
    return _throat_flux(pressure, sqrt(GAS_CONSTANT * temperature), root, COLD)


@njit(inline="always")
def behind_wave(y: float, pipe: Pipe) -> tuple[float, float, float]:
    """(speed, R x temperature, pressure) behind the wave that changes the pipe's pressure by the factor y^n."""
    density, speed, pressure, sound, power = pipe
    square = y * y
    ratio = square * _less_two(y, power)
    rt = pressure / density
    if y > 1.0:  # a shock
        squeezed = (power - 1.0) * ratio + 1.0  # all but a factor of (gamma + 1) ratio + gamma - 1
        speed = speed - sound * (ratio - 1.0) * (power - 2.0) / sqrt(power * squeezed)
        rt = rt * ratio * (ratio + power - 1.0) / squeezed
    else:
        speed = speed - (power - 2.0) * sound * (y - 1.0)
        rt = rt * square
    return speed, rt, ratio * pressure


@njit(inline="always")
def _leaving(y: float, pipe: Pipe, throat_share: float, outer_root: float) -> _Try:
    """Outflow at face pressure y^n: (what the throat passes less what the pipe brings, density, speed, pressure, h0, sum).

    outer_root : (outer pressure / pipe pressure) ^ (1/n).
    """
    power = pipe[4]
    speed, rt, pressure = behind_wave(y, pipe)
    heating = 1.0 + speed * speed / (power * rt)  # stagnation over static temperature
    root = sqrt(heating)
    stagnation = pressure * heating * _less_two(root, power)
    density = pressure / rt
    passed = throat_share * _throat_flux(stagnation, sqrt(rt * heating), outer_root / (y * root), power)
    brought = density * speed
    return passed - brought, density, speed, pressure, 0.5 * power * rt * heating, passed + brought


@njit(inline="always")
def _entering(y: float, pipe: Pipe, throat_share: float, outer: tuple[float, float, float]) -> _Try:
    """Inflow at face pressure y^7, from rest outside: as `_leaving`. The speed at the face cannot pass that of sound."""
    power = pipe[4]
    outer_root, outer_pressure, outer_rt = outer
    speed, _, pressure = behind_wave(y, pipe)
    speed = max(speed, -sqrt(power / (power - 1.0) * outer_rt))
    rt = outer_rt - speed * speed / power
    density = pressure / rt
    passed = throat_share * _throat_flux(outer_pressure, sqrt(outer_rt), y / outer_root, power)
    taken = -density * speed
    return taken - passed, density, speed, pressure, 0.5 * power * outer_rt, taken + passed


@njit(inline="always")
def at_wall(pipe: Pipe) -> tuple[float, float, float]:
    """(density, pressure, y) where the end is shut and the gas is brought to rest."""
    density, speed, pressure, sound, power = pipe
    mach = speed / sound
    if mach > 0.0:
        gamma = power / (power - 2.0)
        k = 0.25 * (gamma + 1.0) * mach
        ratio = 1.0 + gamma * mach * (k + sqrt(1.0 + k * k))
        squeezed = ((power - 1.0) * ratio + 1.0) / (ratio + power - 1.0)
        return density * squeezed, pressure * ratio, ratio ** (1.0 / power)
    y = max(1.0 + mach / (power - 2.0), 0.05)
    return density * _less_two(y, power), pressure * y * y * _less_two(y, power), y


@njit(inline="always")
def sonic_root(pipe: Pipe) -> float:
    """Least y of an outflow: below it the face would be faster than sound. Where the gas comes faster: a standing shock."""
    _, speed, _, sound, power = pipe
    mach = speed / sound
    if mach >= 1.0:
        return (1.0 + power / (power - 1.0) * (mach * mach - 1.0)) ** (1.0 / power)
    return (mach / (power - 2.0) + 1.0) * ((power - 2.0) / (power - 1.0))


@njit(inline="always")
def _low_speed_guess(pipe: Pipe, throat_share: float, drop: float, outer_density: float) -> tuple[float, float]:
    """(outward speed at the face, slope of the excess over it) where density hardly changes.

    drop : wall pressure less outer pressure. The pipe's pressure falls by density x sound x speed, the throat takes
    k x density x speed^2 / 2, k = 1 / share^2 inwards, less 1 outwards where the pipe's own head helps.
    """
    density, _, _, sound, _ = pipe
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
    power: float,
) -> Face:
    """The face state at a pipe's end joined through a throat to gas at rest: (density, speed, pressure, stagnation h).

    density, speed (outwards), pressure : of the pipe's last cell at its outer edge. throat_share : effective throat area
    over the pipe's area, 0 shut to 1 open; power : n of the gas, COLD or HOT. The same mass and
    energy flux belong to both sides.
    """
    sound = sqrt(power / (power - 2.0) * pressure / density)
    pipe = (density, speed, pressure, sound, power)
    wall_density, wall_pressure, wall_root = at_wall(pipe)
    if throat_share < 1e-12 or wall_pressure == outer_pressure:
        return wall_density, 0.0, wall_pressure, 0.0
    outer_rt = GAS_CONSTANT * outer_temperature
    outer_root = (outer_pressure / pressure) ** (1.0 / power)
    outer = (outer_root, outer_pressure, outer_rt)
    enough = 1e-8 * density * sound
    leaving = wall_pressure > outer_pressure
    if leaving:
        low = max(sonic_root(pipe), outer_root)
        high = max(wall_root, low)
        if speed >= sound and outer_root < low:
            as_it_comes = _leaving(1.0, pipe, throat_share, outer_root)
            if as_it_comes[0] >= 0.0:
                return as_it_comes[1], as_it_comes[2], as_it_comes[3], as_it_comes[4]
        found = _leaving(low, pipe, throat_share, outer_root)
        if found[0] >= -enough:
            return found[1], found[2], found[3], found[4]
    else:
        low, high = wall_root, outer_root
    through, slope = _low_speed_guess(pipe, throat_share, wall_pressure - outer_pressure, outer_pressure / outer_rt)
    per_speed = -1.0 / ((power - 2.0) * sound)  # change of y with the face's outward speed
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
