"""Free places for a boss on a plenum's wall whose place the sheet leaves open."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np
from scipy.spatial import KDTree

from tractwright.design.boss import Boss
from tractwright.design.boss_ground import wall_room
from tractwright.design.boss_space import boss_frame, carrier, outside_points
from tractwright.design.outside import plate_points
from tractwright.design.records import Design, Plenum, Screw
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import envelope_of
from tractwright.standards.keys import hex_key
from tractwright.standards.screws import screw_head

_STEP_MM = 4.0
_APART_MM = 6.0
"""Room for a cutter between a boss and what stands beside it. Source: common_practice."""
_TOUCHING_MM = 1.5
"""No boss stands nearer to another piece's flange, even where nothing better is found. Source: common_practice."""
_AROUND_KEY_MM = 0.5
_OVER_TOP_MM = 0.6
_ALONG_AXIS = np.linspace(0.0, 1.0, 5)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """What a boss has to keep off. neck_mm : how far a throttle's neck reaches from its middle; plates_mm (n, 3) : points on
    the flanges of the pieces that do not carry it.
    """

    plenum: Plenum
    design: Design
    others: tuple[Boss, ...]
    neck_mm: float
    plates_mm: Array


Place = tuple[float, float]
Placed = Callable[[Place], Boss]
"""The boss at a place of its wall, from the wall's middle."""


def free_place(placed: Placed, plenum: Plenum, design: Design, others: Iterable[Boss]) -> Place | None:
    """The place nearest to the wall's middle where its foot has ground, off throttle and other bosses, where a cutter goes
    between it and other pieces' flanges and they leave its way free, and where every screw can be tightened; else one where
    screws can and its root runs into least; None where there is none.
    """
    plates = _foreign_plates(placed((0.0, 0.0)), design)
    ground = _Ground(plenum=plenum, design=design, others=tuple(others), neck_mm=_neck_mm(design), plates_mm=plates)
    found: list[tuple[float, Place]] = []
    for place in _spots(placed, plenum):
        boss = placed(place)
        foot, keys = _rooms(boss, ground)
        if keys < 0.0 or foot <= boss.hole_mm / 2.0 - boss.foot_mm / 2.0 - boss.blend_mm:
            continue
        beside = _to_plates(boss, ground)
        if min(foot, beside - _APART_MM) >= 0.0:
            return place
        if beside >= _TOUCHING_MM:
            found.append((min(foot, beside - _APART_MM), place))
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


def _foreign_plates(boss: Boss, design: Design) -> Array:
    """Points (n, 3) on the flanges of the pieces that do not carry a boss."""
    own = carrier(boss, design)
    return np.concatenate([np.empty((0, 3)), *(plate_points(item) for item in design.flanges if item.piece != own)])


def _to_plates(boss: Boss, ground: _Ground) -> float:
    """From its metal to other pieces' flanges [mm]; 0 where one stands in the way of what goes into it."""
    if not len(ground.plates_mm):
        return float("inf")
    local = boss_frame(boss).to_local(ground.plates_mm)
    over, off = local[:, 2] - boss.height_mm, np.hypot(local[:, 0], local[:, 1])
    if bool(((over > _OVER_TOP_MM) & (over < boss.reach_mm) & (off < max(boss.swing_mm, boss.top_mm) / 2.0)).any()):
        return 0.0
    return float(KDTree(outside_points(boss)).query(ground.plates_mm)[0].min())


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
