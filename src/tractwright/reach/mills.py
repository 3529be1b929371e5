"""The shop's mills as a list: from which directions each can cut what stands on its table, and what its travels take."""

from math import cos, radians, sin

import numpy as np

from tractwright.geometry.frames import Array, Vec3, unit
from tractwright.job.shop_tables import Mill, Shop

_SAME = cos(radians(0.5))
_LEVEL_DEG = 90.0


def mills_of(shop: Shop) -> tuple[Mill, ...]:
    """The mill of [shop] first, then the further ones."""
    own = Mill.model_validate(
        {
            "name": shop.machine,
            "machine": shop.machine,
            "travel": shop.travel_mm,
            "table": shop.table_mm,
            "tilt_low": shop.tilt_low_deg,
            "tilt_high": shop.tilt_high_deg,
            "spindle": shop.spindle_rpm,
            "power_kw": shop.power_kw,
        }
    )
    return (own, *shop.mill)


def turns_to(mill: Mill, up: Vec3, direction: Vec3) -> bool:
    """Whether a mill cuts along a direction in a hold whose up is given; what stands in the way is asked elsewhere.

    A rotary axis lies square to up, along the job's row where that is square to it; a tilting table turns about up too.
    """
    high = float(np.dot(up, direction))
    if mill.machine == "3-axis" or high > _SAME:
        return high > _SAME
    if mill.machine == "rotary axis":
        return abs(float(np.dot(rotary_axis(up), direction))) < sin(radians(0.5))
    return high >= cos(radians(max(mill.tilt_high_deg, -mill.tilt_low_deg))) - 1e-9


def turns_level(mill: Mill) -> bool:
    """Whether a mill's table tilts until the work's sides look up, all four of them: no other hold shows more of it."""
    return mill.machine == "tilting table" and max(mill.tilt_high_deg, -mill.tilt_low_deg) >= _LEVEL_DEG


def rotary_axis(up: Vec3) -> Array:
    """The axis a rotary mill turns about, square to up."""
    row = np.array([1.0, 0.0, 0.0]) if abs(up[0]) < 0.5 else np.array([0.0, 1.0, 0.0])
    return unit(row - np.array(up) * (row @ np.array(up)))


def takes(mill: Mill, sides_mm: tuple[float, ...]) -> bool:
    """Whether a block lies within a mill's travels and on its table, longest side along the longest."""
    sides = sorted(sides_mm, reverse=True)
    within = all(side <= room for side, room in zip(sides, sorted(mill.travel_mm, reverse=True), strict=True))
    return within and all(side <= room for side, room in zip(sides, sorted(mill.table_mm, reverse=True), strict=False))


def cuts_along(mill: Mill, corners_mm: Array, up: Vec3, way: Vec3) -> bool:
    """Whether a mill turns a way to the spindle, in a hold whose up is given, and its travels take the block so turned."""
    return turns_to(mill, up, way) and travels_take(mill, corners_mm, up, way)


def travels_take(mill: Mill, corners_mm: Array, up: Vec3, way: Vec3) -> bool:
    """Whether work that stands on the table with its up upright, turned so that a way points to the spindle, lies within the
    mill's travels, and its foot on the table. corners_mm (n, 3) : of the block.

    Turned work lies as its axis lays it; work that is not turned is laid along a side of its block, whichever goes best.
    """
    foot = [_extents(corners_mm, row, up) for row in _rows(corners_mm, up)]
    if not any(_fits(sides[:2], mill.table_mm) for sides in foot):
        return False
    if float(np.dot(up, way)) > _SAME:
        return any(_fits(sides[:2], mill.travel_mm[:2]) and sides[2] <= mill.travel_mm[2] for sides in foot)
    axis = rotary_axis(up) if mill.machine == "rotary axis" else unit(np.cross(up, way))
    turned = _extents(corners_mm, axis, way)
    return bool(np.all(turned <= np.array(mill.travel_mm)))


def fits_beside(mill: Mill, corners_mm: Array, up: Vec3, way: Vec3, beside_mm: float) -> bool:
    """Whether work that stands upright, laid along a way square to its up, and what stands so far beside it that way lie
    within the mill's travels, the work on its table. corners_mm (n, 3) : of the block.
    """
    along, across, high = _extents(corners_mm, np.array(way), up)
    on_table = _fits(np.array([along, across]), mill.table_mm)
    return on_table and _fits(np.array([along + beside_mm, across]), mill.travel_mm[:2]) and high <= mill.travel_mm[2]


def _fits(sides_mm: Array, room_mm: tuple[float, ...]) -> bool:
    return bool(np.all(np.sort(sides_mm) <= np.sort(np.array(room_mm))))


def _rows(corners_mm: Array, up: Vec3) -> list[Array]:
    """Ways across up along which a block may be laid: those of its edges as seen from above."""
    edges = corners_mm[1:] - corners_mm[0]
    across = edges - np.outer(edges @ np.array(up), np.array(up))
    long = np.linalg.norm(across, axis=1)
    return [row / size for row, size in zip(across, long, strict=True) if size > 1e-6]


def _extents(corners_mm: Array, row: Array, up: Vec3) -> Array:
    """Of corners along a row, across it and up (3,) [mm]."""
    axes = np.array([row, np.cross(np.array(up), row), np.array(up)])
    return np.ptp(corners_mm @ axes.T, axis=0)
