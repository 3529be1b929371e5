"""Valve lift and effective area over a cycle. SI units, degrees of crank."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.interpolate import PchipInterpolator

from tractwright.air.losses import valve_discharge

Array = npt.NDArray[np.float64]
ANGLES = np.arange(1441) * 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Valves:
    """The like valves of a cylinder. opens, closes : leaving and reaching the seat [deg after gas-exchange top dead
    centre, opens may be negative]; diameter, greatest lift [m].
    cam : measured (angle [deg], lift [m]) from seat to seat, nothing for a smooth cam; flow : measured (lift over diameter,
    discharge coefficient on the curtain area), nothing for a remembered curve.
    """

    count: int
    diameter: float
    lift: float
    opens: float
    closes: float
    cam: tuple[tuple[float, float], ...] = ()
    flow: tuple[tuple[float, float], ...] = ()


def lift_share(valves: Valves) -> Array:
    """Lift over the greatest lift at ANGLES: (1 - x^2)^1.5, x from -1 at opening to 1 at closing.

    Its mean over the open time is 3 pi / 16, as full as a usual flat-follower cam (judgement); no jolt at the seat.
    A measured cam is followed without overshoot between its points.
    """
    if valves.cam:
        at, lifts = np.array(valves.cam).T
        turned = (ANGLES - at[0]) % 720.0 + at[0]
        smooth = PchipInterpolator(at, lifts)(np.minimum(turned, at[-1]))
        return np.where(turned < at[-1], smooth, 0.0) / lifts.max()
    middle, half = 0.5 * (valves.opens + valves.closes), 0.5 * (valves.closes - valves.opens)
    x = ((ANGLES - middle + 360.0) % 720.0 - 360.0) / half
    return np.maximum(1.0 - x * x, 0.0) ** 1.5


def effective_area(valves: Valves) -> Array:
    """Discharge coefficient x curtain area of all valves [m2] at ANGLES."""
    lift = valves.lift * lift_share(valves)
    curtain = np.pi * valves.diameter * lift
    return valves.count * curtain * discharge(valves, lift / valves.diameter)


def discharge(valves: Valves, lift_over_diameter: Array) -> Array:
    """Discharge coefficient on the curtain area; measured figures are held at their ends."""
    if valves.flow:
        at, coefficient = np.array(valves.flow).T
        return np.interp(lift_over_diameter, at, coefficient)
    return valve_discharge(lift_over_diameter)
