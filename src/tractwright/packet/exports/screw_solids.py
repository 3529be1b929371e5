"""hand_off/screws.step: screws with their washers, and dowels, as simple solids in their places.

A screw is a solid of revolution: its head's largest envelope, its washer, its shank at the thread's major diameter.
"""

from collections.abc import Mapping

import numpy as np

from tractwright.cache import kept
from tractwright.design.records import Design, Dowel, Screw
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal
from tractwright.packet.contents import Contents
from tractwright.standards.screws import screw_head, washer
from tractwright.standards.threads import thread


def write(contents: Contents) -> Mapping[str, bytes]:
    """One solid a screw and a dowel, named as in the description."""
    design = contents.case.design
    return kept("screw_solids", (design,), lambda: _file(design)) if design.screws else {}


def _file(design: Design) -> dict[str, bytes]:
    from tractwright.kernel.primitives import revolve  # loads the kernel: only where files are written anew
    from tractwright.kernel.step import step_bytes

    screws = [(s.name, revolve(screw_profile(s), _frame(s.seat_mm, s.direction))) for s in design.screws]
    dowels = [(d.name, revolve(_pin_profile(d), _frame(d.at_mm, d.direction))) for d in design.dowels]
    return {"hand_off/screws.step": step_bytes([*screws, *dowels], "screws")}


def screw_profile(screw: Screw) -> Contour:
    """Half the screw's outline: (radius, height along the screw from the seat, bulge), counter-clockwise."""
    head, shank = screw_head(screw.head, screw.thread), thread(screw.thread).major_mm / 2.0
    disc = washer(screw.thread, screw.washer) if screw.washer else None
    under = -disc.thickness_mm if disc else 0.0
    top, wide = under - head.height_mm, head.across_mm / 2.0
    tip = under + screw.length_mm
    ring: Contour = ((disc.outer_mm / 2.0, under, 0.0), (disc.outer_mm / 2.0, 0.0, 0.0)) if disc else ()
    below = 0.0 if disc else under
    return (
        (0.0, top, 0.0),
        (wide, top, 0.0),
        (wide, under, 0.0),
        *ring,
        (shank, below, 0.0),
        (shank, tip, 0.0),
        (0.0, tip, 0.0),
    )


def _pin_profile(dowel: Dowel) -> Contour:
    radius, low, high = dowel.diameter_mm / 2.0, -dowel.depth_first_mm, dowel.depth_second_mm
    return ((0.0, low, 0.0), (radius, low, 0.0), (radius, high, 0.0), (0.0, high, 0.0))


def _frame(place: Vec3, way: Vec3) -> Frame:
    return frame_from_normal(place, way, np.eye(3)[int(np.argmin(np.abs(way)))])
