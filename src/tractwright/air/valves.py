"""Valve lift and effective area over a cycle. SI units, degrees of crank."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.air.losses import valve_discharge

Array = npt.NDArray[np.float64]
ANGLES = np.arange(1441) * 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Valves:
    """The like valves of a cylinder. opens, closes : leaving and reaching the seat [deg after gas-exchange top dead
    centre, opens may be negative]; diameter, lift [m].
    """

    count: int
    diameter: float
    lift: float
    opens: float
    closes: float


def lift_share(valves: Valves) -> Array:
    """Lift over the greatest lift at ANGLES: (1 - x^2)^1.5, x from -1 at opening to 1 at closing.

    Its mean over the open time is 3 pi / 16, as full as a usual flat-follower cam (judgement); no jolt at the seat.
    """
    middle, half = 0.5 * (valves.opens + valves.closes), 0.5 * (valves.closes - valves.opens)
    x = ((ANGLES - middle + 360.0) % 720.0 - 360.0) / half
    return np.maximum(1.0 - x * x, 0.0) ** 1.5


def effective_area(valves: Valves) -> Array:
    """Discharge coefficient x curtain area of all valves [m2] at ANGLES."""
    lift = valves.lift * lift_share(valves)
    curtain = np.pi * valves.diameter * lift
    return valves.count * curtain * valve_discharge(lift / valves.diameter)
