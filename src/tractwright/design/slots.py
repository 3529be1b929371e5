"""Slotted holes: which way they lie, and their outline."""

from math import hypot

import numpy as np

from tractwright.design.records import Design, Joint, Screw
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array


def ways_from_middle(design: Design, joint: Joint) -> Array:
    """For each screw of a joint where it stands from the middle of all that hold the same two together (n, 2) [mm], joint
    frame: a head piece over two heads grows about the middle between them.
    """
    alike = {item.name for item in design.joints if item.pieces == joint.pieces}
    return _places(design, joint, {joint.name}) - _places(design, joint, alike).mean(axis=0)


def _places(design: Design, joint: Joint, names: set[str]) -> Array:
    seats = [screw.seat_mm for screw in design.screws if screw.joint in names]
    return joint.frame.to_local(np.array(seats).reshape(-1, 3))[:, :2]


def slot_outline(screw: Screw, design: Design) -> Contour:
    """The outline of a screw's slotted hole in its joint's x-y, as long as its slot is wider than round, counter-clockwise."""
    joint = next(item for item in design.joints if item.name == screw.joint)
    screws = tuple(item for item in design.screws if item.joint == screw.joint)
    x, y, _ = joint.frame.to_local(screw.seat_mm)
    off = ways_from_middle(design, joint)[[item.name for item in screws].index(screw.name)]
    far = hypot(*off)
    ux, uy = (off / far) if far > 1e-6 else (1.0, 0.0)
    half, radius = screw.slot_mm / 2.0, screw.clearance_mm / 2.0
    ax, ay, nx, ny = ux * half, uy * half, -uy * radius, ux * radius
    return (
        (float(x - ax - nx), float(y - ay - ny), 0.0),
        (float(x + ax - nx), float(y + ay - ny), 1.0),
        (float(x + ax + nx), float(y + ay + ny), 0.0),
        (float(x - ax + nx), float(y - ay + ny), 1.0),
    )
