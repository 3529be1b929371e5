"""Distances between screws, with their heads, keys and holes, and whatever stands beside them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractwright.check.bodies import Crowd
from tractwright.design.records import Screw
from tractwright.design.tube import Tube
from tractwright.geometry.frames import Array
from tractwright.standards.envelope import Envelope, envelope_of
from tractwright.standards.threads import thread

Hole = tuple[float, float, float]
"""A cylinder along an axis: from, to, radius [mm]."""
FAR_MM = 20.0
"""Gaps wider than this are not measured: they are free."""
AROUND_KEY_MM = 0.5
"""Air round a key. Source key: common_practice."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Gap:
    """A distance [mm], the path of what it is to ('' where nothing is near), and where (job frame)."""

    mm: float
    subject: str
    place: Array


def envelope(screw: Screw) -> Envelope:
    """The space over a screw's seat. Raises TableError for a size no table holds."""
    return envelope_of(screw.head, screw.thread, screw.washer)


def beside(around: Crowd, screw: Screw, start_mm: float, end_mm: float, radius_mm: float) -> Gap:
    """The least gap between bodies and a cylinder about the screw's axis, from start to end over its seat.

    Lengths count outwards, the way the key comes from. Gaps over FAR_MM are given as FAR_MM.
    """
    origin, outwards = np.array(screw.seat_mm), -np.array(screw.direction)
    points, owner = around.near(origin, outwards, radius_mm + FAR_MM, start_mm)
    along, off = along_and_off(points, origin, outwards)
    gap = np.where((along > start_mm) & (along < end_mm), off - radius_mm, np.inf)
    first = int(np.argmin(gap)) if gap.size else -1
    if first < 0 or gap[first] >= FAR_MM:
        return Gap(mm=FAR_MM, subject="", place=origin)
    return Gap(mm=float(gap[first]), subject=around.subjects[owner[first]], place=points[first])


def free_over(around: Crowd, screw: Screw, start_mm: float, most_mm: float, radius_mm: float) -> Gap:
    """Free length over a screw's seat from `start_mm`, within a radius of its axis, and what ends it."""
    origin, outwards = np.array(screw.seat_mm), -np.array(screw.direction)
    return free_along(around, origin, outwards, (start_mm, most_mm, radius_mm))


def free_along(around: Crowd, origin: Array, outwards: Array, way_mm: tuple[float, float, float]) -> Gap:
    """Free length along an axis, and what ends it. way_mm : where it starts, its length at most, its radius."""
    start_mm, most_mm, radius_mm = way_mm
    points, owner = around.near(origin, outwards, radius_mm, start_mm)
    along, off = along_and_off(points, origin, outwards)
    free = np.where((along > start_mm) & (off < radius_mm), along - start_mm, np.inf)
    first = int(np.argmin(free)) if free.size else -1
    if first < 0 or free[first] >= most_mm:
        return Gap(mm=most_mm, subject="", place=origin)
    return Gap(mm=float(free[first]), subject=around.subjects[owner[first]], place=points[first])


@lru_cache(maxsize=512)
def key_way(around: Crowd, screw: Screw) -> Gap:
    """Free length over a screw's head for a key held straight; the last ones asked for are kept."""
    space = envelope(screw)
    return free_over(around, screw, space.head_height_mm, space.straight_mm, space.key_radius_mm + AROUND_KEY_MM)


def along_and_off(points: Array, origin: Array, direction: Array) -> tuple[Array, Array]:
    """For points (n, 3): distance along an axis from its origin and distance off it (n,)."""
    offset = points - origin
    along = offset @ direction
    off = np.sqrt(np.maximum(np.einsum("nk,nk->n", offset, offset) - along * along, 0.0))
    return along, off


def holes_of(screw: Screw) -> list[Hole]:
    """The cylinders a screw takes out of the metal, along its direction from the seat."""
    holes: list[Hole] = [(0.0, screw.grip_mm, screw.clearance_mm / 2)]
    if screw.tapped_in != "engine":
        holes.append((screw.grip_mm, screw.grip_mm + screw.drill_depth_mm, thread(screw.thread).major_mm / 2))
    if screw.counterbore_mm > 0:
        holes.append((min(screw.standoff_mm, 0.0), 0.0, screw.counterbore_mm / 2))
    return holes


def hole_to_passage(origin: Array, inwards: Array, holes: list[Hole], tubes: Mapping[str, Tube]) -> Gap:
    """Least metal between holes about one axis and the passages; gaps over FAR_MM are given as FAR_MM."""
    best = Gap(mm=FAR_MM, subject="", place=origin)
    reach = max((max(abs(start), abs(end), radius) for start, end, radius in holes), default=0.0) + FAR_MM
    for name, model in tubes.items():
        nearest = float(np.sqrt(np.square(model.centre_mm - origin).sum(axis=1).min()))
        if nearest - float(model.half_mm.max()) > 2.0 * reach:
            continue
        along, off = along_and_off(model.centre_mm, origin, inwards)
        lowest = _to_holes(along, off, holes) - model.half_mm
        points = model.inner_mm[lowest < best.mm].reshape(-1, 3)
        if not len(points):
            continue
        gap = _to_holes(*along_and_off(points, origin, inwards), holes)
        if gap.min() < best.mm:
            worst = int(np.argmin(gap))
            best = Gap(mm=float(gap[worst]), subject=f"runner.{name}", place=points[worst])
    return best


def _to_holes(along: Array, off: Array, holes: list[Hole]) -> Array:
    """Distance from points to the nearest of several holes about one axis."""
    least = _to_hole(along, off, holes[0])
    for hole in holes[1:]:
        least = np.minimum(least, _to_hole(along, off, hole))
    return least


def _to_hole(along: Array, off: Array, hole: Hole) -> Array:
    """Distance from points to a hole's cylinder, negative inside it."""
    start, end, radius = hole
    beyond = np.maximum(np.maximum(start - along, along - end), 0.0)
    return np.where(beyond > 0.0, np.hypot(np.maximum(off - radius, 0.0), beyond), off - radius)
