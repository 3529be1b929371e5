"""What a flange's screws take of its outer face: seats, and standoff posts with their feet."""

from dataclasses import dataclass
from math import asin, hypot, pi, sqrt, tan

import numpy as np

from tractwright.design.channel import Channel
from tractwright.design.records import Flange, Screw
from tractwright.geometry.contours import Contour, Vertex
from tractwright.geometry.frames import Array
from tractwright.standards.screws import screw_head, washer
from tractwright.standards.threads import thread

FOOT_MM = 3.0
"""Root radius wanted at a standoff's foot, less where the flange ends before. Source: common_practice."""

_CLEAR_MM = 0.3
_LEAST_FOOT_MM = 0.3
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Ground that a screw, or a channel's fitting, takes of a flange's outer face.

    screw : its name, or a channel's whose fitting stands there.
    at_mm : in the flange's x-y; height_mm : of what the head or washer bears on, over the joint face; radius_mm : of the
    standoff's post, else of head, washer or counterbore, whichever is widest, or of the hole where the screw is tapped
    through; raised : whether a post stands there; bears : whether a head or washer bears on it.
    """

    screw: str
    at_mm: tuple[float, float]
    height_mm: float
    radius_mm: float
    raised: bool
    bears: bool


def seat_of(screw: Screw, flange: Flange) -> Seat | None:
    """The ground a screw of the flange's joint takes; None for a blind tapped hole, which takes none.

    Raises TableError for a thread that is not in the table.
    """
    x, y, height = (float(value) for value in flange.frame.to_local(screw.seat_mm))
    if screw.tapped_in == flange.piece:
        if screw.drill_depth_mm < flange.thickness_mm:
            return None
        radius = thread(screw.thread).tap_drill_mm / 2.0
        return Seat(
            screw=screw.name, at_mm=(x, y), height_mm=flange.thickness_mm, radius_mm=radius, raised=False, bears=False
        )
    raised = height > flange.thickness_mm + _SAME_MM
    widest = screw.post_mm if raised else _bearing(screw)
    radius = max(widest, screw.counterbore_mm, screw.clearance_mm) / 2.0
    return Seat(screw=screw.name, at_mm=(x, y), height_mm=height, radius_mm=radius, raised=raised, bears=True)


def seat_of_channel(channel: Channel, flange: Flange) -> Seat | None:
    """The ground a channel's fitting takes of its flange; None where it is in the edge."""
    if channel.place == "edge":
        return None
    raised = channel.height_mm > _SAME_MM
    return Seat(
        screw=f"channel {channel.name}",
        at_mm=channel.port_mm,
        height_mm=flange.thickness_mm + channel.height_mm,
        radius_mm=channel.post_mm / 2.0,
        raised=raised,
        bears=False,
    )


def _bearing(screw: Screw) -> float:
    """Diameter of a screw's head, or of the washer under it."""
    head = screw_head(screw.head, screw.thread).across_mm
    return max(head, washer(screw.thread, screw.washer).outer_mm) if screw.washer else head


def post_profile(seat: Seat, face_mm: float, foot_mm: float) -> tuple[Vertex, ...]:
    """A post from the middle of its top down to a face at that height over the joint: (radius, height, bulge), open.

    Its foot is an arc tangent to the face. A post lower than the foot's radius has the lower part of the arc only.
    """
    height, radius = seat.height_mm - face_mm, seat.radius_mm
    top = (0.0, seat.height_mm, 0.0)
    if foot_mm <= 0.0:
        return (top, (radius, seat.height_mm, 0.0), (radius, face_mm, 0.0))
    if height > foot_mm + _SAME_MM:
        arc = (radius, face_mm + foot_mm, tan(pi / 8.0))
        return (top, (radius, seat.height_mm, 0.0), arc, (radius + foot_mm, face_mm, 0.0))
    reach = sqrt(max(foot_mm**2 - (foot_mm - height) ** 2, 0.0))
    sweep = asin(min(reach / foot_mm, 1.0))
    return (top, (radius, seat.height_mm, tan(sweep / 4.0)), (radius + reach, face_mm, 0.0))


def post_body(seat: Seat, face_mm: float, foot_mm: float, under_mm: float) -> Contour:
    """The post as a closed profile that goes on `under_mm` below that face, counter-clockwise."""
    chain = post_profile(seat, face_mm, foot_mm)
    low = face_mm - under_mm
    return ((0.0, low, 0.0), (chain[-1][0], low, 0.0), *_reversed(chain))


def foot_room(seat: Seat, room_mm: Array, wanted_mm: float) -> float:
    """The foot radius a post has room for, at most the one wanted; 0 where even a small one does not fit."""
    room = min(wanted_mm, float(np.min(room_mm, initial=np.inf)) - _CLEAR_MM)
    return room if room >= _LEAST_FOOT_MM else 0.0


def apart(one: Seat, other: Seat) -> float:
    """Distance between two screws' lines [mm]."""
    return hypot(one.at_mm[0] - other.at_mm[0], one.at_mm[1] - other.at_mm[1])


def _reversed(chain: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """The chain walked the other way: a segment's bulge goes to its other end and changes sign."""
    bulges = [0.0, *(-vertex[2] for vertex in chain[:-1])][::-1]
    return tuple((x, y, bulge) for (x, y, _), bulge in zip(chain[::-1], bulges, strict=True))
