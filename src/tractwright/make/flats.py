"""Flat, parallel faces that jaws may close on: straight sides of an outline, or two joint faces. Plane geometry."""

from collections.abc import Iterable

import numpy as np

from tractwright.design.records import Flange
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import Array, Vec3

FLATS_MM = 20.0
"""So much of what jaws close on should be flat and parallel. Judgement."""
_SHORTEST_MM = 3.0
_PARALLEL = 0.9999
_LEVEL = 0.05

Span = tuple[float, float]


def flanges_below(flanges: Iterable[Flange], up: Vec3, level_mm: float) -> list[Flange]:
    """The flanges of which some lies lower along a way up than jaws that end at a level [mm]."""
    return [flange for flange in flanges if _lowest(flange, np.array(up)) < level_mm]


def _lowest(flange: Flange, up: Array) -> float:
    flat = polyline(flange.contour)
    both = [np.column_stack([flat, np.full(len(flat), z)]) for z in (0.0, flange.thickness_mm)]
    return float((flange.frame.to_world(np.concatenate(both)) @ up).min())


def flats_in_jaws(flanges: Iterable[Flange], up: Vec3) -> float:
    """How long the flat, parallel faces are that jaws may close on with a way up [mm]; of several pairs the longest."""
    return max((length for flange in flanges for length in _pairs(flange, np.array(up))), default=0.0)


def _pairs(flange: Flange, up: Array) -> list[float]:
    """Of one flange: its outline's sides where it lies flat, its two faces where it stands."""
    local = flange.frame.matrix() @ up
    if abs(local[2]) < _LEVEL:
        along = polyline(flange.contour) @ np.array([-local[1], local[0]])
        return [float(np.ptp(along))]
    if abs(local[2]) < 1.0 - _LEVEL:
        return []
    return _sides(flange)


def _sides(flange: Flange) -> list[float]:
    corners = np.array(flange.contour)
    step = np.roll(corners[:, :2], -1, axis=0) - corners[:, :2]
    length = np.linalg.norm(step, axis=1)
    straight = (np.abs(corners[:, 2]) < 1e-9) & (length >= _SHORTEST_MM)
    starts, ways = corners[straight, :2], step[straight] / length[straight, None]
    lengths = length[straight]
    found: list[float] = []
    for way in ways:
        begin = starts @ way
        end = begin + lengths * (ways @ way)
        same, other = ways @ way > _PARALLEL, ways @ way < -_PARALLEL
        here = list(zip(begin[same], end[same], strict=True))
        there = list(zip(end[other], begin[other], strict=True))
        found.append(_shared_mm(here, there))
    return found


def _shared_mm(here: list[Span], there: list[Span]) -> float:
    """Length that stretches on one side have in common with those of the other."""
    return float(sum(max(0.0, min(b, d) - max(a, c)) for a, b in here for c, d in there))
