"""Free places for a boss on a plenum's wall whose place the sheet leaves open."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_ground import wall_room
from tractwright.design.records import Design, Plenum, Screw
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import envelope_of
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head

_STEP_MM = 4.0
_APART_MM = 6.0
"""Room for a cutter between a boss and what stands beside it. Source: common_practice."""
_AROUND_KEY_MM = 0.5
_ALONG_AXIS = np.linspace(0.0, 1.0, 5)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """What a boss has to keep off. neck_mm : how far a throttle's neck reaches from its middle."""

    plenum: Plenum
    design: Design
    others: tuple[Boss, ...]
    neck_mm: float


Place = tuple[float, float]
Placed = Callable[[Place], Boss]
"""The boss at a place of its wall, from the wall's middle."""


def free_place(placed: Placed, plenum: Plenum, design: Design, others: Iterable[Boss]) -> Place | None:
    """The place nearest to the wall's middle where its foot has ground, off throttle and other bosses, and where every screw
    can be tightened; else one where screws can and its root runs into least; None where there is none.
    """
    ground = _Ground(plenum=plenum, design=design, others=tuple(others), neck_mm=_neck_mm(design))
    found: list[tuple[float, Place]] = []
    for place in _spots(placed, plenum):
        boss = placed(place)
        foot, keys = _rooms(boss, ground)
        if min(foot, keys) >= 0.0:
            return place
        if keys >= 0.0 and foot > -boss.foot_mm / 2.0:
            found.append((foot, place))
    return max(found, key=lambda item: item[0])[1] if found else None


def _spots(placed: Placed, plenum: Plenum) -> list[Place]:
    """Places over the whole wall, the nearest to its middle first."""
    long, wide, deep = plenum.width_mm, plenum.height_mm, plenum.depth_mm
    wall = placed((0.0, 0.0)).place.partition("_")[0]
    across, up = {"end": (wide, deep), "side": (long, deep), "top": (long, wide)}[wall]
    return sorted(
        ((a, b) for a in _steps(across) for b in _steps(up)), key=lambda spot: (hypot(*spot), abs(spot[1]), spot)
    )


def _steps(size_mm: float) -> list[float]:
    count = int(size_mm / 2.0 / _STEP_MM)
    return [_STEP_MM * k for k in range(-count, count + 1)]


def _rooms(boss: Boss, ground: _Ground) -> tuple[float, float]:
    """Room of its foot on the wall, and of the screws' keys [mm]; negative where there is none."""
    foot = wall_room(ground.design, boss, ground.plenum).mm
    foot = min([foot, *_to_throttles(boss, ground), *_to_others(boss, ground.others)])
    if foot <= -boss.foot_mm / 2.0:
        return foot, -1.0
    metal = np.array(boss.at_mm) + _ALONG_AXIS[:, None] * boss.height_mm * np.array(boss.axis)
    return foot, min((_to_key(metal, boss.foot_mm / 2.0, screw) for screw in ground.design.screws), default=0.0)


def _neck_mm(design: Design) -> float:
    kinds = {joint.name: joint.kind for joint in design.joints}
    rims = [polyline(flange.contour) for flange in design.flanges if kinds[flange.joint] in ("neck", "body")]
    return max((float(np.hypot(*rim.T).max()) for rim in rims), default=0.0)


def _to_throttles(boss: Boss, ground: _Ground) -> Iterator[float]:
    """Off the necks on the same wall."""
    for throttle in ground.design.throttles:
        if throttle.plenum == boss.plenum and throttle.place == boss.place:
            x, y, _ = throttle.frame.to_local(boss.at_mm)
            yield hypot(float(x), float(y)) - ground.neck_mm - boss.foot_mm / 2.0 - _APART_MM


def _to_others(boss: Boss, others: tuple[Boss, ...]) -> Iterator[float]:
    for other in others:
        if other.plenum == boss.plenum and other.place == boss.place:
            apart = float(np.linalg.norm(np.array(boss.at_mm) - other.at_mm))
            yield apart - max(boss.foot_mm + other.foot_mm, boss.swing_mm + other.swing_mm) / 2.0 - _APART_MM


def _to_key(metal: Array, radius_mm: float, screw: Screw) -> float:
    """From points (n, 3) on a boss's axis, its metal so thick, to a screw's key: held straight, or where that does not go in,
    bent, with its long arm free all round.
    """
    space = envelope_of(screw.head, screw.thread, screw.washer)
    key_mm = space.key_radius_mm + _AROUND_KEY_MM
    offset, outwards = metal - np.array(screw.seat_mm), -np.array(screw.direction)
    along = offset @ outwards
    off = np.linalg.norm(offset - along[:, None] * outwards, axis=1)

    def beside(length_mm: float) -> float:
        beyond = np.maximum(np.maximum(along - length_mm, -along), 0.0)
        return float(np.hypot(off, beyond).min()) - key_mm - radius_mm

    straight = beside(space.head_height_mm + space.straight_mm)
    if straight >= 0.0 or screw.head == "hex":
        return straight
    arm = hex_key(screw_head(screw.head, screw.thread).key_mm).long_arm_mm
    over = np.abs(along - space.head_height_mm - space.bent_mm) - key_mm
    swing = float(np.maximum(over, off - arm).min()) - radius_mm
    return min(beside(space.head_height_mm + space.bent_mm), swing)
