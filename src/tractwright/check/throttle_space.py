"""The space a throttle body takes, with what stands out beside it and the straight way before it."""

from dataclasses import dataclass

import numpy as np

from tractwright.check.case import Case
from tractwright.design.body_row import BodyRow
from tractwright.design.records import Throttle
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.route.layout.under_bodies import BODY_WALL_MM

_WALL_MM = 4.0
_AROUND = 24
_STEP_MM = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BodySpace:
    """A cylinder from the neck's face outwards, and beside it a box for motor, lever or plug. frame : the throttle's.

    length_mm : with a trumpet before it; box_mm : of the body alone, along which the box stands. towards : unit vector in the
    frame's x-y; reach_mm 0 : no box. run_mm : straight way before it, run_radius_mm wide.
    """

    frame: Frame
    length_mm: float
    radius_mm: float
    towards: tuple[float, float]
    reach_mm: float
    width_mm: float
    run_mm: float
    run_radius_mm: float
    box_mm: float


def body_space(case: Case, throttle: Throttle) -> BodySpace:
    """What the sheet says of a throttle's body, and the usual where it is silent."""
    facts, row = case.sheet.throttle, row_of(case, throttle)
    body = facts.body_long_mm(throttle.bore_mm) if row is None else row.body_mm
    length = body if row is None else row.reach_mm
    towards = throttle.frame.matrix() @ np.array(facts.actuator_towards or (0.0, 1.0, 0.0), dtype=float)
    size, reach = float(np.hypot(towards[0], towards[1])), _actuator_mm(case, throttle)
    if size < 0.1 * float(np.linalg.norm(towards)):
        body, length = max(body, reach), max(length, reach)
        reach, size, towards = 0.0, 1.0, np.array([1.0, 0.0, 0.0])
    return BodySpace(
        frame=throttle.frame,
        length_mm=length,
        radius_mm=_radius(case, throttle) if row is None else _on_mouth_mm(throttle, row),
        towards=(float(towards[0]) / size, float(towards[1]) / size),
        reach_mm=reach,
        width_mm=facts.actuator_width_mm,
        run_mm=facts.straight_run_mm if facts.straight_run_mm is not None else throttle.bore_mm,
        run_radius_mm=throttle.bore_mm / 2 + _WALL_MM,
        box_mm=body,
    )


def row_of(case: Case, throttle: Throttle) -> BodyRow | None:
    """The row of bodies on mouths that a throttle is one of; None where it feeds a plenum."""
    return next((row for row in case.design.body_rows if row.name == throttle.plenum), None)


def _on_mouth_mm(throttle: Throttle, row: BodyRow) -> float:
    """Radius of a body on a mouth, and of its trumpet's bell."""
    return throttle.bore_mm / 2 + BODY_WALL_MM + row.bell_mm


def _actuator_mm(case: Case, throttle: Throttle) -> float:
    """How far motor, lever or plug stands out: in a row on one spindle from the body furthest that way alone."""
    way = np.array(case.sheet.throttle.actuator_towards or (0.0, 1.0, 0.0), dtype=float)
    beside = [item for item in case.design.throttles if item.plenum == throttle.plenum]
    furthest = max(beside, key=lambda item: round(float(np.array(item.frame.origin_mm) @ way), 6))
    alone = row_of(case, throttle) is None or furthest.name == throttle.name
    return (case.sheet.throttle.actuator_reach_mm or 0.0) if alone else 0.0


def body_points(space: BodySpace) -> Array:
    """Points (n, 3) on its outside, job frame."""
    around = np.linspace(0.0, 2 * np.pi, _AROUND, endpoint=False)
    levels = _levels(0.0, space.length_mm)
    shapes = [_round(space.radius_mm, around, levels)]
    if space.reach_mm > 0.0:
        along, across = _levels(0.0, space.reach_mm), _levels(-space.width_mm / 2, space.width_mm / 2)
        beside = _levels(0.0, space.box_mm)
        u, v, z = (grid.ravel() for grid in np.meshgrid(along, across, beside, indexing="ij"))
        x, y = space.towards
        shapes.append(np.column_stack([x * u - y * v, y * u + x * v, z]))
    return space.frame.to_world(np.concatenate(shapes))


def gap_mm(space: BodySpace, points: Array) -> Array:
    """Distance of points (n, 3) to it (n,), negative inside."""
    x, y, z = space.frame.to_local(points).T
    ends = np.maximum(-z, z - space.length_mm)
    gap = _outside(np.hypot(x, y) - space.radius_mm, ends)
    if space.reach_mm <= 0.0:
        return gap
    tx, ty = space.towards
    along, across = tx * x + ty * y, np.abs(-ty * x + tx * y)
    sides = _outside(np.maximum(-along, along - space.reach_mm), across - space.width_mm / 2)
    return np.minimum(gap, _outside(sides, np.maximum(-z, z - space.box_mm)))


def run_points(space: BodySpace, step_mm: float) -> tuple[Array, Array]:
    """Points (k, n, 3) on the straight way before it, ring by ring, and how far out each ring lies (k,)."""
    around = np.linspace(0.0, 2 * np.pi, _AROUND, endpoint=False)
    out = np.arange(step_mm, space.run_mm + step_mm, step_mm)
    rings = _round(space.run_radius_mm, around, space.length_mm + out).reshape(len(out), _AROUND, 3)
    return space.frame.to_world(rings), out


def _outside(a: Array, b: Array) -> Array:
    """Distance to the meeting of two regions from the distances to each."""
    return np.hypot(np.maximum(a, 0.0), np.maximum(b, 0.0)) + np.minimum(np.maximum(a, b), 0.0)


def _round(radius: float, around: Array, levels: Array) -> Array:
    z = np.repeat(levels, len(around))
    turn = np.tile(around, len(levels))
    return np.column_stack([radius * np.cos(turn), radius * np.sin(turn), z])


def _levels(low: float, high: float) -> Array:
    return np.linspace(low, high, max(2, int(np.ceil((high - low) / _STEP_MM)) + 1))


def _radius(case: Case, throttle: Throttle) -> float:
    """As far out as the neck's flange under it reaches."""
    joints = {joint.name for joint in case.design.joints if joint.kind == "body"}
    flanges = [flange for flange in case.design.flanges if flange.joint in joints]
    place = np.array(throttle.frame.origin_mm)
    nearest = min(flanges, key=lambda f: float(np.linalg.norm(np.array(f.frame.origin_mm) - place)), default=None)
    if nearest is None:
        return throttle.bore_mm / 2 + _WALL_MM
    return float(np.hypot(*polyline(nearest.contour, 0.1).T).max())
