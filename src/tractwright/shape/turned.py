"""Posts and holes of a flange as turned profiles: clearance holes with their seats, standoff posts, tapped holes, dowels.

Every profile is (radius, height over the joint face, bulge), as kernel.tubular wants it.
"""

from dataclasses import dataclass
from math import asin, hypot, sqrt, tan

import numpy as np

from tractwright.design.records import Dowel, Flange, Screw
from tractwright.geometry.contours import Contour, Vertex
from tractwright.geometry.frames import Array

_CLEAR_MM = 0.3
_LEAST_FOOT_MM = 0.3
_THROUGH_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A turned feature of one flange.

    at_mm : in the flange's x-y; bore_mm : diameter of the hole; bottom_mm : its floor over the joint face where it is
    blind, else None; seat_mm : height of the seat over the joint face; post_mm : radius of the standoff's post, 0 where
    the seat is at or under the flange's face; seat_radius_mm : radius the head or washer needs; sunk_mm : radius of the
    counterbore, 0 where there is none.
    """

    name: str
    at_mm: tuple[float, float]
    bore_mm: float
    bottom_mm: float | None
    seat_mm: float
    post_mm: float = 0.0
    seat_radius_mm: float = 0.0
    sunk_mm: float = 0.0

    @property
    def ground_mm(self) -> float:
        """Radius of what it takes of the flange's outer face."""
        return max(self.post_mm, self.seat_radius_mm, self.sunk_mm)


def tap_drill(thread: str) -> float:
    """Diameter of the hole to tap [mm]: nominal less pitch. Source: iso2306 (metric threads, 'M8x1.25')."""
    nominal, pitch = thread.removeprefix("M").split("x")
    return float(nominal) - float(pitch)


def screw_hole(screw: Screw, flange: Flange) -> Hole:
    """What a screw of the flange's joint needs in it: a tapped hole, or a clearance hole with its seat."""
    x, y, seat = (float(value) for value in flange.frame.to_local(screw.seat_mm))
    if screw.tapped_in == flange.piece:
        depth = screw.drill_depth_mm if screw.drill_depth_mm < flange.thickness_mm - _THROUGH_MM else None
        return Hole(name=screw.name, at_mm=(x, y), bore_mm=tap_drill(screw.thread), bottom_mm=depth, seat_mm=0.0)
    raised = seat > flange.thickness_mm + 1e-6
    sunk = seat < flange.thickness_mm - 1e-6
    return Hole(
        name=screw.name,
        at_mm=(x, y),
        bore_mm=screw.clearance_mm,
        bottom_mm=None,
        seat_mm=seat,
        post_mm=screw.post_mm / 2.0 if raised else 0.0,
        seat_radius_mm=screw.post_mm / 2.0,
        sunk_mm=max(screw.counterbore_mm, screw.post_mm) / 2.0 if sunk else 0.0,
    )


def dowel_hole(dowel: Dowel, flange: Flange) -> Hole:
    """The blind hole of a dowel in the flange on its side of the joint."""
    x, y, _ = (float(value) for value in flange.frame.to_local(dowel.at_mm))
    second = float(np.dot(dowel.direction, flange.frame.z)) > 0.0
    depth = dowel.depth_second_mm if second else dowel.depth_first_mm
    bottom = depth if depth < flange.thickness_mm - _THROUGH_MM else None
    return Hole(name=dowel.name, at_mm=(x, y), bore_mm=dowel.diameter_mm, bottom_mm=bottom, seat_mm=0.0)


def profile(hole: Hole, thickness_mm: float, foot_mm: float) -> tuple[Vertex, ...]:
    """The open chain from the joint face to the outer face, or to the line where the hole is blind."""
    bore = hole.bore_mm / 2.0
    if hole.bottom_mm is not None:
        return ((bore, 0.0, 0.0), (bore, hole.bottom_mm, 0.0), (0.0, hole.bottom_mm, 0.0))
    if hole.post_mm > 0.0:
        return ((bore, 0.0, 0.0), (bore, hole.seat_mm, 0.0), *post_side(hole, thickness_mm, foot_mm))
    if hole.sunk_mm > 0.0:
        seat = hole.seat_mm
        return (
            (bore, 0.0, 0.0),
            (bore, seat, 0.0),
            (hole.sunk_mm, seat, 0.0),
            (hole.sunk_mm, thickness_mm, 0.0),
        )
    return ((bore, 0.0, 0.0), (bore, thickness_mm, 0.0))


def rings(hole: Hole, thickness_mm: float, foot_mm: float) -> tuple[float, float]:
    """Radius of the ring a turned feature leaves in the joint face and in the outer face, 0 for none."""
    bore = hole.bore_mm / 2.0
    return bore, 0.0 if hole.bottom_mm is not None else profile(hole, thickness_mm, foot_mm)[-1][0]


def post_side(hole: Hole, thickness_mm: float, foot_mm: float) -> tuple[Vertex, ...]:
    """The outside of a post from its top's edge down to the outer face, a tangent arc of the foot's radius at its foot.

    A post lower than the radius carries the lower part of the arc only.
    """
    height, radius = hole.seat_mm - thickness_mm, hole.post_mm
    if foot_mm <= 0.0:
        return ((radius, hole.seat_mm, 0.0), (radius, thickness_mm, 0.0))
    if height >= foot_mm:
        arc = (radius, thickness_mm + foot_mm, tan(np.pi / 8.0))
        start: tuple[Vertex, ...] = ((radius, hole.seat_mm, 0.0), arc) if height > foot_mm + 1e-6 else (arc,)
        return (*start, (radius + foot_mm, thickness_mm, 0.0))
    reach = sqrt(foot_mm**2 - (foot_mm - height) ** 2)
    sweep = asin(reach / foot_mm)
    return ((radius, hole.seat_mm, tan(sweep / 4.0)), (radius + reach, thickness_mm, 0.0))


def post_body(hole: Hole, thickness_mm: float, foot_mm: float, sunk_mm: float) -> Contour:
    """The post as a closed profile down to `sunk_mm` under the outer face, for joining by a boolean."""
    low = thickness_mm - sunk_mm
    side = post_side(hole, thickness_mm, foot_mm)
    foot = side[-1][0]
    backwards = _reversed(side)
    return ((0.0, low, 0.0), (foot, low, 0.0), *backwards, (0.0, hole.seat_mm, 0.0))


def foot_room(hole: Hole, room_mm: Array, wanted_mm: float) -> float:
    """The foot radius a post has room for, at most the one wanted; 0 where even a small one does not fit."""
    room = min(wanted_mm, float(np.min(room_mm, initial=np.inf)) - _CLEAR_MM)
    return room if room >= _LEAST_FOOT_MM and hole.post_mm > 0.0 else 0.0


def apart(one: Hole, other: Hole) -> float:
    """Distance between the lines of two features [mm]."""
    return hypot(one.at_mm[0] - other.at_mm[0], one.at_mm[1] - other.at_mm[1])


def _reversed(chain: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """The chain walked the other way: a segment's bulge goes to its other end and changes sign."""
    bulges = [0.0, *(-vertex[2] for vertex in chain[:-1])][::-1]
    return tuple((x, y, bulge) for (x, y, _), bulge in zip(chain[::-1], bulges, strict=True))
