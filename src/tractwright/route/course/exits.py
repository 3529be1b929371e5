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
_SOON_MM, _NEARLY_MM = 15.0, 0.5
"""How far past the lead bending away must do, and how nearly."""
_CLOSE, _GROWS = 1.3, 0.5
"""From so many outer half sizes out more is asked than the straight way gives, so many millimetres a millimetre."""
_SMALL_MM = 0.05


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Ports:
    """Where courses begin (n runners): centres, axes, wide directions (n, 3); half sizes, corner, wall, lead (n,)."""

    start: Array
    axis: Array
    wide: Array
    half_wide: Array
    half_least: Array
    corner: Array
    wall: Array
    lead: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Exit:
    """What the straight way out of each port would meet.

    A port may stand closer to something than the clearance wanted; near it a course may come as close as the straight
    way does, less what it can have bent away by then where that helps in time; no closer. room, keys : least signed
    distance (n, steps) every `_EXIT_STEP` mm from the port's centre, growing farther out until it counts no more.
    """

    room: Array
    keys: Array

    def need(self, table: Array, along_mm: Array, want: Array) -> tuple[Array, Array]:
        """Distance wanted at places (n, m) along the axis, at most `want`, and its slope along the axis."""
        place = np.clip(along_mm / _EXIT_STEP, 0.0, _EXIT_STEPS - 1.001)
        cell = place.astype(np.int64)
        row = np.arange(len(table))[:, None]
        low, high = table[row, cell], table[row, cell + 1]
        lenient = low + (high - low) * (place - cell)
        use = lenient < want
        return np.where(use, lenient, want), np.where(use & (along_mm > 0), (high - low) / _EXIT_STEP, 0.0)


def exit_of(ports: Ports, room: PackedRoom, keys: Keys, clearance_mm: float) -> Exit:
    """The tables of all ports."""
    steps: Array = np.arange(_EXIT_STEPS, dtype=np.float64) * _EXIT_STEP
    points = (ports.start[:, None, :] + steps[None, :, None] * ports.axis[:, None, :]).reshape(-1, 3)
    shape = (len(ports.start), _EXIT_STEPS)
    distance, slope = clearance(room, points)
    key_gap, _, direct = capsule_distance(points, *keys, 2.0)
    room_gap = np.minimum(distance, 1e6).reshape(shape)
    want = [_skin(ports, towards.reshape(*shape, 3)) for towards in (slope, direct)]
    return Exit(
        room=_bent_away(ports, steps, room_gap, want[0] + clearance_mm) - _SMALL_MM,
        keys=_bent_away(ports, steps, key_gap.reshape(shape), want[1]) - _SMALL_MM,
    )


def _bent_away(ports: Ports, steps: Array, straight: Array, want: Array) -> Array:
    """The straight way's distances, more where a course that bends away at once meets what is wanted all the way."""
    outer = (ports.half_wide + ports.wall)[:, None]
    past = np.maximum(0.0, steps - ports.lead[:, None])
    bent = straight + past**2 / (2.0 * _BENDS * outer)
    soon = (past > 0.0) & (past <= _SOON_MM)
    helps = np.where(soon, bent - want, np.inf).min(axis=1) > -_NEARLY_MM
    farther = _GROWS * np.maximum(0.0, steps - _CLOSE * outer)
    return np.where(helps[:, None], bent, straight) + farther


def _skin(ports: Ports, direction: Array) -> Array:
    """How far the skins at the ports reach towards directions (n, steps, 3)."""
    sizes = (ports.half_wide[:, None], ports.half_least[:, None], ports.corner[:, None])
    return support(direction, ports.wide[:, None, :], *sizes) + ports.wall[:, None]


def support(direction: Array, wide: Array, half_wide: Array, half_least: Array, corner: Array) -> Array:
    """Reach of a rounded rectangle from its middle towards directions (n, m, 3); wide (n, m or 1, 3): its width lies there."""
    along = np.abs((direction * wide).sum(axis=2))
    across = np.sqrt(np.maximum(0.0, np.einsum("nmd,nmd->nm", direction, direction) - along**2))
    return corner + (half_wide - corner) * along + (half_least - corner) * across
