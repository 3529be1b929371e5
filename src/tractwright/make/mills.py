"""The shop's mills as a list, and from which directions each can cut what stands on its table."""

from math import cos, radians, sin

import numpy as np

from tractwright.geometry.frames import Array, Vec3, unit
from tractwright.job.shop_tables import Mill, Shop

_SAME = cos(radians(0.5))


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


def rotary_axis(up: Vec3) -> Array:
    """The axis a rotary mill turns about, square to up."""
    row = np.array([1.0, 0.0, 0.0]) if abs(up[0]) < 0.5 else np.array([0.0, 1.0, 0.0])
    return unit(row - np.array(up) * (row @ np.array(up)))


def takes(mill: Mill, sides_mm: tuple[float, ...]) -> bool:
    """Whether a block lies within a mill's travels and on its table, longest side along the longest."""
    sides = sorted(sides_mm, reverse=True)
    within = all(side <= room for side, room in zip(sides, sorted(mill.travel_mm, reverse=True), strict=True))
    return within and all(side <= room for side, room in zip(sides, sorted(mill.table_mm, reverse=True), strict=False))
