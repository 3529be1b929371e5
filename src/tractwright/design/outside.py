"""The outside of what a description holds, as points: plates, boxes, skins with the roots a cutter leaves."""

from math import ceil

import numpy as np
import shapely

from tractwright.design.passing import Pass, pass_through
from tractwright.design.records import Design, Flange, Plenum, Runner
from tractwright.design.tube import Tube, centreline
from tractwright.geometry.contours import Contour, contour_length, polyline, spread_points
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.outlines import Outline, outline_contour

_STEP_MM = 3.0
_LEVEL_MM = 4.0
_FURTHER_MM = 30.0
_LEAST_SQUARE = 0.2


def box_points(plenum: Plenum, cover_mm: float, step_mm: float, level_mm: float) -> Array:
    """Points (k, n, 3) on the outside of a plenum's box with its cover: k uprights of n points, job frame."""
    outline = Outline(
        kind="rounded_rectangle",
        width_mm=plenum.width_mm + 2 * plenum.wall_mm,
        height_mm=plenum.height_mm + 2 * plenum.wall_mm,
        corner_radius_mm=plenum.corner_radius_mm + plenum.wall_mm,
    )
    heights = heights_between(0.0, plenum.floor_mm + plenum.depth_mm + cover_mm, level_mm)
    return upright(outline_contour(outline), plenum.centre_mm, plenum.frame, heights, step_mm)


def plate_points(flange: Flange) -> Array:
    """Points (n, 3) on a flange's edge and on both its faces, job frame."""
    up = heights_between(0.0, flange.thickness_mm, _LEVEL_MM)
    edge = upright(flange.contour, (0.0, 0.0), flange.frame, up, _STEP_MM).reshape(-1, 3)
    ring = polyline(flange.contour, 0.1)
    low, high = ring.min(axis=0), ring.max(axis=0)
    x, y = np.meshgrid(np.arange(low[0], high[0], _STEP_MM), np.arange(low[1], high[1], _STEP_MM), indexing="ij")
    inside = shapely.contains_xy(shapely.Polygon(ring), x.ravel(), y.ravel())
    plane = np.column_stack([x.ravel(), y.ravel()])[inside]
    faces = [np.column_stack([plane, np.full(len(plane), z)]) for z in (0.0, flange.thickness_mm)]
    return np.concatenate([edge, flange.frame.to_world(np.concatenate(faces))])


def blended_skin(runner: Runner, design: Design, model: Tube) -> Array:
    """A runner's outside (k, m, 3) as metal will really stand: with the full root a cutter leaves at the flanges that
    screws' heads bear on, at the head and at a split.

    After the plain stations come those near such a flange once more, moved outwards as a rolling ball leaves them.
    """
    kinds = {joint.name: joint.kind for joint in design.joints}
    radii = {"head": runner.port_blend_mm, "split": runner.split_blend_mm}
    line = centreline(runner, design)
    found = [model.outer_mm]
    for flange in design.flanges:
        radius = radii.get(kinds[flange.joint], 0.0)
        if radius > 0.0 and (way := pass_through(line, flange)) is not None:
            found.append(_rooted(flange, way, radius, model))
    return np.concatenate(found)


def _rooted(flange: Flange, way: Pass, radius: float, model: Tube) -> Array:
    """The rows of a skin near a flange (k, m, 3), moved outwards as a ball of that radius leaves them."""
    beyond = (model.s_mm - way.station_mm) * np.sign(way.square)
    most = (flange.thickness_mm + radius) / max(abs(way.square), _LEAST_SQUARE) + _FURTHER_MM
    height = flange.frame.to_local(model.outer_mm)[..., 2] - flange.thickness_mm
    near = (height >= 0.0) & (height < radius) & (np.abs(beyond - most / 2.0) < most)[:, None]
    outward = model.outer_mm - model.centre_mm[:, None, :]
    outward /= np.maximum(np.linalg.norm(outward, axis=2, keepdims=True), 1e-9)
    rise = radius - np.sqrt(np.maximum(radius**2 - (radius - np.clip(height, 0.0, radius)) ** 2, 0.0))
    moved = model.outer_mm + outward * np.where(near, rise, 0.0)[..., None]
    return moved[near.any(axis=1)]


def heights_between(low: float, high: float, step_mm: float) -> Array:
    """Heights from low to high, a step apart at most."""
    return np.linspace(low, high, max(2, ceil((high - low) / step_mm) + 1))


def upright(contour: Contour, at_mm: tuple[float, float], frame: Frame, heights: Array, step_mm: float) -> Array:
    """A contour's outline moved to a place and drawn up through heights: (k, n, 3), job frame."""
    ring = spread_points(contour, max(12, ceil(contour_length(contour) / step_mm))) + np.array(at_mm)
    points = np.empty((len(ring), len(heights), 3))
    points[..., :2] = ring[:, None, :]
    points[..., 2] = heights
    return frame.to_world(points)
