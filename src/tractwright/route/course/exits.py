"""How near a course may pass things close to its port: no nearer than the straight way out passes them."""

from dataclasses import dataclass

import numpy as np

from tractwright.design.room import PackedRoom, clearance
from tractwright.geometry.frames import Array
from tractwright.route.course.kernels import capsule_distance

Keys = tuple[Array, Array, Array, Array]
"""Starts, directions (k, 3), lengths, radii (k,) of key ways."""
_EXIT_STEP, _EXIT_STEPS = 2.0, 80
_BENDS = 3.0
"""Outer half sizes to the radius at which a course is asked to bend away: about twice the tightest it may."""
_AHEAD_MM, _NEARLY_MM = np.array([0.0, 5.0, 10.0, 15.0]), 0.5
"""Places past the lead at which bending away must do, and how nearly."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Exit:
    """What the straight way out of each port would meet: least signed distance along it, from the port's centre.

    A port may stand closer to something than the clearance wanted; near it a course may come as close as the straight
    way does, less what it can have bent away by then; no closer. room, keys, bent : (n, steps) every `_EXIT_STEP` mm;
    lead_mm (n,) where the straight lead ends; reach_mm : (n,) how far the leniency goes.
    """

    room: Array
    keys: Array
    bent: Array
    lead_mm: Array
    reach_mm: Array

    def need(self, straight: Array, along_mm: Array, want: Array) -> tuple[Array, Array]:
        """Distance wanted at places (n, m) along the axis, at most `want`, and its slope along the axis.

        straight : the table of what is kept away from. Where bending away comes too late it is not asked for.
        """
        ahead, _ = _looked_up(straight + self.bent, self.lead_mm[:, None] + _AHEAD_MM)
        helps = (ahead > want[:, :1] - _NEARLY_MM).all(axis=1, keepdims=True)
        lenient, rate = _looked_up(straight + np.where(helps, self.bent, 0.0), along_mm)
        use = (along_mm < self.reach_mm[:, None]) & (lenient < want)
        return np.where(use, lenient, want), np.where(use & (along_mm > 0), rate, 0.0)


def _looked_up(table: Array, along_mm: Array) -> tuple[Array, Array]:
    """A table (n, steps) at places (n, m) along the axis, and its slope there."""
    place = np.clip(along_mm / _EXIT_STEP, 0.0, _EXIT_STEPS - 1.001)
    cell = place.astype(np.int64)
    row = np.arange(len(table))[:, None]
    low, high = table[row, cell], table[row, cell + 1]
    return low + (high - low) * (place - cell), (high - low) / _EXIT_STEP


def exit_of(ports: tuple[Array, Array, Array, Array], room: PackedRoom, keys: Keys, clearance_mm: float) -> Exit:
    """The tables of all ports. ports: centres, axes (n, 3), outer half sizes, straight leads (n,)."""
    start, axis, outer, lead = ports
    steps = np.arange(_EXIT_STEPS) * _EXIT_STEP
    bent = np.maximum(0.0, steps - lead[:, None]) ** 2 / (2.0 * _BENDS * outer[:, None])
    points = (start[:, None, :] + steps[None, :, None] * axis[:, None, :]).reshape(-1, 3)
    shape = (len(start), _EXIT_STEPS)
    distance, _ = clearance(room, points)
    key_gap, _, _ = capsule_distance(points, *keys, 2.0)
    small = 0.05
    return Exit(
        room=np.minimum(distance, 1e6).reshape(shape) - small,
        keys=key_gap.reshape(shape) - small,
        bent=bent,
        lead_mm=lead,
        reach_mm=2.5 * outer + clearance_mm,
    )
