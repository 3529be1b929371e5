"""The outside of a boss on a curved skin, its root blend part of it.

At each clock angle round the boss's axis a ball of the root radius touches the boss's drafted side and the skin at once:
the blend is the arc between, so it follows the skin however it curves and however far the boss leans. The body goes on a
little under the skin and closes inside the wall, so that joining it cuts nothing but the skin, and no passage.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, pi, radians, sin, tan

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.boss_hole import widest_radius
from tractwright.design.boss_space import boss_frame, slope
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.kernel.skins import SkinSurface

_ANGLES = 64
_GROWN = np.linspace(0.0, 1.0, 13)[1:]
_NEWTON = 12
_NEAR_MM = 1e-7
_STEP = 1e-5
_SIDE_ROWS = 4
_ARC_ROWS = 13
_PAST_MM = 0.07
"""How deep under the skin the blend's own surface ends."""
_SUNK_MM = 0.01
_FLAT_SUNK_MM = 0.004
_IN_WALL = ((0.93, 0.6), (0.84, 1.0), (0.6, 1.0), (0.35, 1.0), (0.12, 1.0))
"""Rings inside the wall: share of the way out from the axis, share of the depth."""
_WALL_SHARE = 0.4
_LEAST_SIDE_MM = 0.3
_LEAST_OPENING_DEG = 4.0
EDGE_MM = 0.5
"""Chamfer of outer edges. Source: common_practice."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BossSkin:
    """A boss's outside in bands of points (rows, angles, 3): chamfer, drafted side, blend, and what lies inside the wall.

    foot_mm (angles, 3) : where the blend meets the skin.
    """

    bands_mm: tuple[Array, ...]
    foot_mm: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Ground:
    """A skin with the sign that turns its normals outwards, and where the boss's axis comes out of it."""

    skin: SkinSurface
    outwards: float
    start: Array

    def normal(self, places: Array) -> Array:
        return self.outwards * self.skin.normal(places)


def boss_skin(boss: Boss, skin: SkinSurface, wall_mm: float, radius_mm: float, crease_deg: float) -> BossSkin:
    """The outside of a boss on a runner's skin.

    radius_mm : of the blend; crease_deg : the slope at which it crosses the skin. Raises KernelError where the foot finds
    no ground on the skin, or the boss is too low for its blend.
    """
    step, frame = f"the foot of boss {boss.name}", boss_frame(boss)
    ground = _ground(skin, frame, step)
    crease = np.radians(crease_deg)
    drop = _SUNK_MM + radius_mm * (1.0 - np.cos(crease))
    places, heights = _balls(boss, frame, ground, radius_mm, drop, step)
    out, up = _around(frame), np.array(frame.z)
    draft = slope(boss)
    side_normal = np.cos(draft) * out + np.sin(draft) * up
    centre = _on_side(boss, frame, out, heights) + radius_mm * side_normal
    normal = ground.normal(places)
    _hold_possible(boss, (normal, side_normal), heights, step)
    edge = edge_mm(boss)
    side = np.stack([_on_side(boss, frame, out, h) for h in np.linspace(boss.height_mm - edge, heights, _SIDE_ROWS)])
    arc = _arc(centre, side_normal, normal, radius_mm, crease)
    bands = (side, arc, _inside(ground, places, arc[-1], wall_mm))
    return BossSkin(bands_mm=(_broken(side[0], frame, out, edge), *bands) if edge else bands, foot_mm=skin.at(places))


def edge_mm(boss: Boss) -> float:
    """The chamfer of its top's edge [mm], where there is metal enough beside the hole."""
    return EDGE_MM if boss.top_mm / 2.0 - widest_radius(boss) > 3.0 * EDGE_MM else 0.0


def _broken(low: Array, frame: Frame, out: Array, edge: float) -> Array:
    """Rows of the chamfer, from the top's flat down to the side."""
    top = low - edge * out + edge * np.array(frame.z)
    return np.linspace(top, low, _SIDE_ROWS)


def _ground(skin: SkinSurface, frame: Frame, step: str) -> _Ground:
    """Where the axis comes out of the skin, nearest to the frame's origin."""
    around, along = np.meshgrid(np.linspace(0.0, 1.0, 73)[:-1], np.linspace(0.0, 1.0, 161), indexing="ij")
    coarse = np.column_stack([around.ravel(), along.ravel()])
    start = coarse[np.argmin(np.linalg.norm(skin.at(coarse) - np.array(frame.origin_mm), axis=1))]

    def off(unknown: Array) -> Array:
        return skin.at(unknown[:, :2]) - np.array(frame.origin_mm) - unknown[:, 2:] * np.array(frame.z)

    found = _solved(off, np.array([[*start, 0.0]]), step)[0]
    facing = float(skin.normal(found[None, :2])[0] @ np.array(frame.z))
    return _Ground(skin=skin, outwards=float(np.sign(facing)) or 1.0, start=found[:2])


def _balls(
    boss: Boss, frame: Frame, ground: _Ground, radius_mm: float, drop_mm: float, step: str
) -> tuple[Array, Array]:
    """Where each ball touches the skin (angles, 2) and how high it touches the boss (angles,): grown from the axis."""
    out, up, draft = _around(frame), np.array(frame.z), slope(boss)
    offset = radius_mm * (np.cos(draft) * out + np.sin(draft) * up)
    unknown = np.column_stack([np.tile(ground.start, (_ANGLES, 1)), np.zeros(_ANGLES)])
    for grown in _GROWN:

        def off(asked: Array, grown: float = float(grown)) -> Array:
            ball = ground.skin.at(asked[:, :2]) + grown * (radius_mm - drop_mm) * ground.normal(asked[:, :2])
            side = boss.foot_mm / 2.0 * grown - asked[:, 2:] * np.tan(draft)
            return ball - np.array(frame.origin_mm) - asked[:, 2:] * up - side * out - grown * offset

        unknown = _solved(off, unknown, step)
    return unknown[:, :2], unknown[:, 2]


def _solved(off: Callable[[Array], Array], unknown: Array, step: str) -> Array:
    """Newton's method on rows of three unknowns and three distances. Raises KernelError where it does not settle."""
    for _ in range(_NEWTON):
        here = off(unknown)
        if np.abs(here).max() < _NEAR_MM:
            return unknown
        slopes = np.empty((len(unknown), 3, 3))
        for k, size in enumerate((_STEP, _STEP, 1e-3)):
            moved = unknown.copy()
            moved[:, k] += size
            slopes[:, :, k] = (off(moved) - here) / size
        try:
            change = np.linalg.solve(slopes, here[..., None])[..., 0]
        except np.linalg.LinAlgError as fault:
            raise KernelError(step, "the skin runs along its axis") from fault
        unknown = unknown - np.clip(change, [-0.08, -0.08, -20.0], [0.08, 0.08, 20.0])
        if unknown[:, 1].min() < 0.0 or unknown[:, 1].max() > 1.0:
            raise KernelError(step, "it runs off the end of the runner's skin")
    raise KernelError(step, "no ball rolls round it on this skin: it is too wide, or leans too far")


def _hold_possible(boss: Boss, normals: tuple[Array, Array], heights: Array, step: str) -> None:
    cosine = np.einsum("nk,nk->n", *normals)
    if np.degrees(np.arccos(np.clip(cosine.max(), -1.0, 1.0))) < _LEAST_OPENING_DEG:
        raise KernelError(step, "its side runs into the skin all but level")
    top = boss.height_mm - edge_mm(boss)
    if heights.max() > top - _LEAST_SIDE_MM:
        short = heights.max() - top + _LEAST_SIDE_MM
        raise KernelError(step, f"it is {short:.1f} mm too low for its root blend")


def _around(frame: Frame) -> Array:
    """Unit directions (angles, 3) square to the axis."""
    turn = np.arange(_ANGLES) * (2.0 * np.pi / _ANGLES)
    return frame.turn(np.column_stack([np.cos(turn), np.sin(turn), np.zeros(_ANGLES)]))


def _on_side(boss: Boss, frame: Frame, out: Array, heights: Array) -> Array:
    """Points on the drafted side at heights over the frame's origin (angles,)."""
    radius = boss.foot_mm / 2.0 - heights * np.tan(slope(boss))
    return np.array(frame.origin_mm) + heights[:, None] * np.array(frame.z) + radius[:, None] * out


def _arc(centre: Array, side: Array, normal: Array, radius: float, crease: float) -> Array:
    """Rows (rows, angles, 3) of the blend from the side to the skin, and on along its slope until under the skin."""
    opening = np.arccos(np.clip(np.einsum("nk,nk->n", side, normal), -1.0, 1.0))
    turned = np.linspace(0.0, 1.0, _ARC_ROWS)[:, None] * (opening - crease)
    share = np.sin(opening)
    spoke = (np.sin(opening - turned) / share)[..., None] * side + (np.sin(turned) / share)[..., None] * normal
    rows = centre - radius * spoke
    way = unit(rows[-1] - rows[-2])
    way = unit(way - np.einsum("nk,nk->n", way, spoke[-1])[:, None] * spoke[-1])
    on = [rows[-1] + way * (_PAST_MM / np.sin(crease)) * part for part in (0.5, 1.0)]
    return np.concatenate([rows, np.stack(on)])


def _inside(ground: _Ground, places: Array, first: Array, wall_mm: float) -> Array:
    """Rows from the blend's end down into the wall and in towards the axis; the last lies in a plane."""
    away = places - ground.start
    away[:, 0] = (away[:, 0] + 0.5) % 1.0 - 0.5
    deep = _WALL_SHARE * wall_mm
    rows = [first]
    for out, share in _IN_WALL:
        here = ground.start + out * away
        rows.append(ground.skin.at(here) - deep * share * ground.normal(here))
    centre = rows[-1].mean(axis=0)
    flat = ground.normal(ground.start[None])[0]
    rows[-1] = rows[-1] - ((rows[-1] - centre) @ flat)[:, None] * flat
    return np.stack(rows)


def flat_profile(boss: Boss, wall_mm: float, radius_mm: float, crease_deg: float) -> Contour:
    """A boss square on a flat wall, to be turned about its axis: (radius, height over the wall, bulge), counter-clockwise.

    Raises KernelError where it is too low for its blend.
    """
    crease, draft = radians(crease_deg), slope(boss)
    drop = _FLAT_SUNK_MM + radius_mm * (1.0 - cos(crease))
    low = radius_mm - drop - radius_mm * sin(draft)
    edge = edge_mm(boss)
    if low > boss.height_mm - edge - _LEAST_SIDE_MM:
        short = low - boss.height_mm + edge + _LEAST_SIDE_MM
        raise KernelError(f"the foot of boss {boss.name}", f"it is {short:.1f} mm too low for its root blend")
    side = boss.foot_mm / 2.0 - low * tan(draft)
    centre = side + radius_mm * cos(draft), radius_mm - drop
    end = centre[0] - radius_mm * sin(crease), centre[1] - radius_mm * cos(crease)
    past = end[0] + _PAST_MM / tan(crease), end[1] - _PAST_MM
    deep = -_WALL_SHARE * wall_mm - _PAST_MM
    return (
        (0.0, deep, 0.0), (past[0], deep, 0.0), (*past, 0.0), (*end, -tan((pi / 2 - draft - crease) / 4.0)),
        (side, low, 0.0), *_edge_points(boss, edge), (0.0, boss.height_mm, 0.0),
    )  # fmt: skip


def _edge_points(boss: Boss, edge: float) -> Contour:
    """The end of the side and, where the edge is broken, of the chamfer: (radius, height, bulge)."""
    height, radius = boss.height_mm, boss.top_mm / 2.0
    if not edge:
        return ((radius, height, 0.0),)
    low = radius + edge * tan(slope(boss))
    return ((low, height - edge, 0.0), (low - edge, height, 0.0))
