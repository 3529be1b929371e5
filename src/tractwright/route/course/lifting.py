"""The part has to come off the head: what stands in its way out counts as kept out where the part sits."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tractwright.design.pattern import KeepOutBox, KeepOutPlane, Room
from tractwright.design.records import Bank
from tractwright.geometry.frames import Array, Vec3, unit, vec3

OFF_STUDS_MM = 35.0
OFF_SCREWS_MM = 15.0
"""How far a part is drawn off before it may be moved about: over its studs, or clear of gasket and dowels. Source:
common_practice.
"""


_SPARE_MM = 1.0
"""More than not touching: the course takes sections for ellipses, and stations lie between those of the check."""


def way_off(banks: Sequence[Bank]) -> Array:
    """The way a part comes off, of length 1: straight off its one head; off several, midway between their ways off."""
    return unit(np.sum([bank.frame.z for bank in banks], axis=0)) if len(banks) > 1 else np.array(banks[0].frame.z)


def lifted(room: Room, way_mm: Vec3, clearance_mm: float) -> Room:
    """The room grown by what the part would touch on its way out; the space of the old part is no hindrance there.

    In place the part keeps a clearance, on its way it only must not touch. Boxes grow along the axes, so for a way along
    none of them a little too much.
    """
    return replace(
        room,
        planes=tuple(_plane(plane, way_mm, clearance_mm) for plane in room.planes),
        boxes=tuple(_box(box, way_mm, clearance_mm) for box in room.boxes),
    )


def _plane(plane: KeepOutPlane, way_mm: Vec3, clearance_mm: float) -> KeepOutPlane:
    size = float(np.linalg.norm(plane.normal))
    nearer = -float(np.dot(plane.normal, way_mm)) / size
    if nearer <= 0.0:
        return plane
    return replace(plane, offset_mm=plane.offset_mm + size * max(0.0, nearer + _SPARE_MM - clearance_mm))


def _box(box: KeepOutBox, way_mm: Vec3, clearance_mm: float) -> KeepOutBox:
    way = np.array(way_mm)
    nearer = np.where(way == 0.0, 0.0, np.maximum(0.0, np.abs(way) + _SPARE_MM - clearance_mm))
    low = np.array(box.low_mm) - np.where(way > 0, nearer, 0.0)
    high = np.array(box.high_mm) + np.where(way < 0, nearer, 0.0)
    return replace(box, low_mm=vec3(low), high_mm=vec3(high))
