"""How deep a cutter cuts before it chatters by itself: one mode of its tip, the chip's waviness fed back a tooth later.

Source key: tlusty_polacek_1963. Tip and chip in one line, all teeth in the cut taken together as their mean number: a limit for
choosing speeds by, some tens of per cent off where few teeth cut.
"""

from dataclasses import dataclass
from math import acos, inf, pi

import numpy as np

_LINES, _HIGHEST = 20_000, 4.0
"""How many frequencies are asked, up to so many times the tip's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip:
    """A cutter's tip as measured in its spindle: how often it swings [Hz], stiffness [N/mm], damping as a share of critical."""

    own_hz: float
    stiffness_n_mm: float
    damping: float


def teeth_in_cut(teeth: float, width_of_diameter: float) -> float:
    """The mean number of teeth in a cut so many diameters wide: an arc of acos(1 - 2 a)."""
    return teeth * acos(1.0 - 2.0 * min(1.0, width_of_diameter)) / (2.0 * pi)


def least_limit_mm(tip: Tip, specific_n_mm2: float, teeth: float) -> float:
    """The depth [mm] below which it chatters at no speed: 2 k z (1 + z) over the cutting stiffness of a mm of depth."""
    return 2.0 * tip.stiffness_n_mm * tip.damping * (1.0 + tip.damping) / (specific_n_mm2 * teeth)


def limit_at_mm(tip: Tip, specific_n_mm2: float, teeth: float, tooth_hz: float) -> float:
    """The depth [mm] at which it begins to chatter with teeth that come round so often: the least -1/(2 K Re G) of the
    frequencies whose waves on the chip then feed themselves; infinity where none below four times its own does.
    """
    ratio = np.linspace(1.0, _HIGHEST, _LINES + 1)[1:]
    gives = 1.0 / (tip.stiffness_n_mm * (1.0 - ratio**2 + 2.0j * tip.damping * ratio))
    deep = -1.0 / (2.0 * specific_n_mm2 * teeth * gives.real)
    wanted = 3.0 * pi + 2.0 * np.arctan(gives.imag / gives.real)
    waves = 2.0 * pi * ratio * tip.own_hz / tooth_hz
    count = (waves - wanted) / (2.0 * pi)
    with np.errstate(invalid="ignore"):
        meets = (np.floor(count[1:]) != np.floor(count[:-1])) & (deep[:-1] > 0.0)
    return float(np.minimum(deep[:-1], deep[1:])[meets].min(initial=inf))
