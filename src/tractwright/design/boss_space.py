"""Bosses in space: where on a skin they stand, what their outside is, how their hole comes into the air inside."""

from dataclasses import dataclass
from math import atan2, ceil, cos, pi, sin

import numpy as np

from tractwright.design.boss import Boss
from tractwright.design.housing import cover_of, housing_of
from tractwright.design.passing import part_between
from tractwright.design.records import Design, Plenum, Runner
from tractwright.design.tube import Tube, centreline, tube_at
from tractwright.geometry.frames import Array, Frame, Vec3, frame_from_normal, unit, vec3

_ANGLES = 96
_RAYS = 24
_STEP_MM = 1.0
_BEYOND_ENDS_MM = 30.0
_POINTS_MM = 2.0
_SAME_MM = 1e-3
"""A ray through an edge goes through both of its triangles at one place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on a skin (job frame): unit normal outwards, unit way along the runner, metal under it square to the skin."""

    at_mm: Vec3
    normal: Vec3
    along: Vec3
    wall_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """How a boss's hole comes into the air inside: depths from the skin along its axis [mm].

    first_mm, all_mm : where the first and the last of its rim leave the metal, infinity where part of it never does;
    far_mm : where the first of its rim meets the wall again, infinity where it goes out through an end.
    """

    first_mm: float
    all_mm: float
    far_mm: float


def boss_model(runner: Runner, design: Design) -> Tube:
    """The runner as bosses are placed on it: a station a millimetre, and straight on past both ends."""
    length = centreline(runner, design).length_mm
    count = ceil((length + 2 * _BEYOND_ENDS_MM) / _STEP_MM) + 1
    return tube_at(runner, design, np.linspace(-_BEYOND_ENDS_MM, length + _BEYOND_ENDS_MM, count), _ANGLES)


def spot_on_runner(model: Tube, station: float, clock_deg: float) -> Spot:
    """The place on a runner's outer skin at a share of its length and a clock angle. model : by `boss_model`."""
    s = station * _length(model)
    k = min(max(int(np.searchsorted(model.s_mm, s)), 1), len(model.s_mm) - 1)
    part = float((s - model.s_mm[k - 1]) / (model.s_mm[k] - model.s_mm[k - 1]))
    centre, tangent, u, v = (
        values[k - 1] + part * (values[k] - values[k - 1])
        for values in (model.centre_mm, model.tangent, model.u, model.v)
    )
    turn = clock_deg * pi / 180.0
    way = unit(u * cos(turn) + v * sin(turn))
    low, high = model.outer_mm[k - 1], model.outer_mm[k]
    section = low + part * (high - low)
    spokes = section - centre
    off = np.arctan2(spokes @ np.cross(tangent, way), spokes @ way)
    around = _at_angle(np.roll(section, -1, axis=0) - np.roll(section, 1, axis=0), off)
    normal = unit(np.cross(around, _at_angle(high - low, off)))
    return Spot(
        at_mm=vec3(_at_angle(section, off)),
        normal=vec3(normal * np.sign(normal @ way)),
        along=vec3(unit(tangent)),
        wall_mm=float(np.interp(s, model.s_mm, model.wall_mm)),
    )


def _length(model: Tube) -> float:
    return float(model.s_mm[-1]) - _BEYOND_ENDS_MM


def spot_under(model: Tube, top_mm: Vec3, axis: Vec3 | None) -> tuple[Spot, float, float] | None:
    """The place on a runner's skin under a point, along an axis or square to the skin, with its station and clock angle.

    None where the axis does not meet the skin.
    """
    top, skin = np.array(top_mm), model.outer_mm.reshape(-1, 3)
    if axis is None:
        at = skin[int(np.argmin(np.linalg.norm(skin - top, axis=1)))]
    else:
        far = float(first_met(top[None, :], -unit(axis), model.outer_mm)[0, 0])
        if not np.isfinite(far):
            return None
        at = top - far * unit(axis)
    station = int(np.argmin(np.linalg.norm(model.centre_mm - at, axis=1)))
    spoke = at - model.centre_mm[station]
    clock = float(np.degrees(atan2(spoke @ model.v[station], spoke @ model.u[station])))
    share = float(np.clip(model.s_mm[station] / _length(model), 0.0, 1.0))
    spot = spot_on_runner(model, share, clock)
    return Spot(at_mm=vec3(at), normal=spot.normal, along=spot.along, wall_mm=spot.wall_mm), share, clock


def wall_place(plenum: Plenum, place: str, top_mm: Vec3) -> tuple[float, float]:
    """Where on a wall, from its middle, or on the cover a point stands [mm]."""
    local = plenum.frame.to_local(top_mm) - np.array([*plenum.centre_mm, plenum.floor_mm + plenum.depth_mm / 2])
    first, second = {"end": (1, 2), "side": (0, 2), "top": (0, 1)}[place.partition("_")[0]]
    return float(local[first]), float(local[second])


def _at_angle(values: Array, off: Array) -> Array:
    """Values (angles, 3) round a section where the angle off the wanted one is 0."""
    return np.array([np.interp(0.0, off, values[:, k], period=2 * pi) for k in range(3)])


def spot_on_plenum(plenum: Plenum, place: str, at_mm: tuple[float, float], cover_mm: float) -> Spot:
    """The place on a plenum's wall, from the wall's middle, or on the cover."""
    x, y = plenum.centre_mm
    half_x, half_y = plenum.width_mm / 2 + plenum.wall_mm, plenum.height_mm / 2 + plenum.wall_mm
    middle, top = plenum.floor_mm + plenum.depth_mm / 2, plenum.floor_mm + plenum.depth_mm + cover_mm
    a, b = at_mm
    spot, out = {
        "end_1": ((x - half_x, y + a, middle + b), (-1.0, 0.0, 0.0)),
        "end_2": ((x + half_x, y + a, middle + b), (1.0, 0.0, 0.0)),
        "side_1": ((x + a, y - half_y, middle + b), (0.0, -1.0, 0.0)),
        "side_2": ((x + a, y + half_y, middle + b), (0.0, 1.0, 0.0)),
        "top": ((x + a, y + b, top), (0.0, 0.0, 1.0)),
    }[place]
    along = plenum.frame.z if place != "top" else plenum.frame.x
    return Spot(
        at_mm=vec3(plenum.frame.to_world(spot)),
        normal=vec3(plenum.frame.turn(out)),
        along=along,
        wall_mm=cover_mm if place == "top" else plenum.wall_mm,
    )


def boss_frame(boss: Boss) -> Frame:
    """At the skin on the axis, z outwards along it."""
    return _along(boss.at_mm, boss.axis)


def into_top(boss: Boss) -> Frame:
    """On the middle of the boss's top, z into the metal."""
    top = np.array(boss.at_mm) + boss.height_mm * np.array(boss.axis)
    return _along(vec3(top), vec3(-np.array(boss.axis)))


def slope(boss: Boss) -> float:
    """Draft of the side [rad]."""
    return atan2((boss.foot_mm - boss.top_mm) / 2.0, boss.height_mm)


def outside_points(boss: Boss) -> Array:
    """Points (n, 3) on a boss's side, from the skin up, and on its top, job frame."""
    heights = np.linspace(0.0, boss.height_mm, max(3, ceil(boss.height_mm / _POINTS_MM) + 1))
    radii = boss.foot_mm / 2.0 + (boss.top_mm - boss.foot_mm) / 2.0 * heights / boss.height_mm
    rings = [_ring(radius, height) for radius, height in zip(radii, heights, strict=True)]
    rings += [_ring(boss.top_mm / 2.0 * share, boss.height_mm) for share in (0.75, 0.5, 0.25)]
    return boss_frame(boss).to_world(np.concatenate(rings))


def way_in(boss: Boss, design: Design, radius_mm: float, model: Tube | None = None) -> WayIn:
    """How a cylinder of that radius about a boss's axis comes into its runner's passage or its plenum's inside.

    model : of the runner; None for a plenum's boss.
    """
    frame = boss_frame(boss)
    start = frame.to_world(_ring(max(radius_mm, 0.01), boss.height_mm, _RAYS))
    inwards = -np.array(boss.axis)
    if model is not None:
        met = first_met(start, inwards, model.inner_mm) - boss.height_mm
    else:
        plenum = next(item for item in design.plena if item.name == boss.plenum)
        met = _met_box(start, inwards, plenum) - boss.height_mm
    first, far = met.T
    return WayIn(first_mm=float(first.min()), all_mm=float(first.max()), far_mm=float(far.min()))


def carrier(boss: Boss, design: Design) -> str:
    """The piece a boss stands on: the one whose flanges its station lies between, its plenum's, or the cover; '' for none."""
    if boss.plenum:
        plenum = next(item for item in design.plena if item.name == boss.plenum)
        return cover_of(plenum, design) if boss.place == "top" else housing_of(plenum, design)
    runner = next(item for item in design.runners if item.name == boss.runner)
    line = centreline(runner, design)
    s = boss.station * line.length_mm
    for piece in design.pieces:
        if piece.kind in ("head", "middle"):
            part = part_between(line, [flange for flange in design.flanges if flange.piece == piece.name])
            if part is not None and part.first.station_mm < s < part.last.station_mm:
                return piece.name
    return ""


def _along(at_mm: Vec3, axis: Vec3) -> Frame:
    least = int(np.argmin(np.abs(axis)))
    return frame_from_normal(at_mm, axis, np.eye(3)[least])


def _ring(radius: float, height: float, count: int = 0) -> Array:
    turn = np.linspace(0.0, 2 * pi, count or max(12, ceil(2 * pi * radius / _POINTS_MM)), endpoint=False)
    return np.column_stack([radius * np.cos(turn), radius * np.sin(turn), np.full(len(turn), height)])


def first_met(start: Array, way: Array, inner: Array) -> Array:
    """For rays (n, 3) the distances (n, 2) at which each first meets a tube of points (stations, angles, 3) and meets it next;
    infinity for never.
    """
    middle, axis = start.mean(axis=0), unit(way)
    a, b = inner[:-1], np.roll(inner, -1, axis=1)[:-1]
    c, d = np.roll(inner, -1, axis=1)[1:], inner[1:]
    to = a - middle
    off = to - (to @ axis)[..., None] * axis
    reach = np.linalg.norm(start - middle, axis=1).max() + np.linalg.norm(c - a, axis=2).max()
    near = np.einsum("nmk,nmk->nm", off, off) < reach**2
    corners = np.concatenate([np.stack([part[near] for part in three], axis=1) for three in ((a, b, c), (a, c, d))])
    if not len(corners):
        return np.full((len(start), 2), np.inf)
    frame = _along(vec3(middle), vec3(axis))
    hits = _crossings(frame.to_local(corners), frame.to_local(start))
    first = hits.min(axis=1)
    return np.stack([first, np.where(hits > first[:, None] + _SAME_MM, hits, np.inf).min(axis=1)], axis=1)


def _crossings(corners: Array, start: Array) -> Array:
    """Heights (rays, triangles) over each start at which rays along z go through triangles; infinity where they do not."""
    flat, places = corners[:, :, :2], start[:, None, :2]
    one, two = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    whole = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    safe = np.where(np.abs(whole) > 1e-12, whole, np.inf)
    to = places - flat[:, 0]
    u = (to[..., 0] * two[:, 1] - to[..., 1] * two[:, 0]) / safe
    v = (one[:, 0] * to[..., 1] - one[:, 1] * to[..., 0]) / safe
    z = corners[:, 0, 2] + u * (corners[:, 1, 2] - corners[:, 0, 2]) + v * (corners[:, 2, 2] - corners[:, 0, 2])
    deep = z - start[:, None, 2]
    hit = (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0) & (deep > 0.0) & np.isfinite(safe)
    return np.where(hit, deep, np.inf)


def _met_box(start: Array, way: Array, plenum: Plenum) -> Array:
    """The same for a plenum's inside, taken for a box."""
    local, into = plenum.frame.to_local(start), plenum.frame.matrix() @ way
    half = np.array([plenum.width_mm, plenum.height_mm, plenum.depth_mm]) / 2.0
    middle = np.array([*plenum.centre_mm, plenum.floor_mm + plenum.depth_mm / 2.0])
    safe = np.where(np.abs(into) > 1e-9, into, 1e-9)
    ends = np.stack([(middle - half - local) / safe, (middle + half - local) / safe])
    enters, leaves = ends.min(axis=0).max(axis=1), ends.max(axis=0).min(axis=1)
    missed = enters >= leaves
    return np.where(missed[:, None], np.inf, np.column_stack([enters, leaves]))
