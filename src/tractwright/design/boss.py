"""The record of a boss."""

from dataclasses import dataclass
from typing import Literal

from tractwright.geometry.frames import Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Boss:
    """Metal that stands on a runner's skin or on a plenum's wall, with a hole through it into the air inside.

    runner, plenum : what it stands on, the other one ''. station (fraction of the length), clock_deg (from the section's
    first axis) : where on a runner, 0 on a plenum. place : which wall of a plenum, '' on a runner; a cover is 'top'.
    at_mm : where its axis comes out of the skin; axis : unit, outwards (job frame).
    height_mm : of its flat top over at_mm along the axis; foot_mm, top_mm : diameters at at_mm and at the top, the
    draft between; blend_mm : root radius wanted.
    hole_mm : diameter of the hole into the passage; hole_depth_mm : from the top to the end of its full diameter.
    thread : 'M10x1', '1/8 NPT' or ''; thread_mm : full thread cut, from the top or, where there are steps, from the last
    one's floor. pocket_mm : (diameter, depth from the top) of each step, from the top down.
    blind : the hole ends in the metal, with its thread.
    swing_mm, reach_mm : the free cylinder over the top that a spanner, plug or nozzle needs.
    """

    name: str
    use: Literal["plain", "nozzle", "injector", "sensor", "vacuum", "breather", "post", "pad"]
    runner: str
    plenum: str
    station: float
    clock_deg: float
    place: Literal["", "end_1", "end_2", "top", "side_1", "side_2"]
    at_mm: Vec3
    axis: Vec3
    height_mm: float
    foot_mm: float
    top_mm: float
    blend_mm: float
    hole_mm: float
    hole_depth_mm: float
    thread: str
    thread_mm: float
    pocket_mm: tuple[tuple[float, float], ...]
    swing_mm: float
    reach_mm: float
    blind: bool = False
