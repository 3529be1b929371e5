"""Cutters of the holes that screws and dowels need in a piece."""

from math import radians, tan

import numpy as np

from tractwright.design.records import Design, Dowel, Joint, Screw
from tractwright.design.slots import slot_outline
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3, frame_from_normal, vec3
from tractwright.kernel.checked import Checked
from tractwright.shape.parts.bodies import prism, turned
from tractwright.shape.parts.finishes import BEYOND_MM
from tractwright.shape.parts.gates import fed_by
from tractwright.standards.threads import thread

_TIP_HALF_ANGLE_DEG = 59.0
"""A twist drill's point, 118 degrees. Source: common_practice."""
_THREAD_DIAMETERS = 2.0
"""Full thread for a throttle body's screws in light alloy, in diameters. Source: common_practice."""
_UNDER_THREAD_MM = 4.0
"""Metal left for the drill's point and a skin under it."""
_MOUTH_BREAK_MM = 0.2
"""A tapped hole is countersunk this much wider than the thread, so that the first turn is not pulled up."""


def screw_holes(piece: str, design: Design) -> list[Checked]:
    """The cutters of every screw that is tapped into a piece or passes through it."""
    joints = {joint.name: joint for joint in design.joints}
    tools: list[Checked] = []
    for screw in design.screws:
        if screw.tapped_in == piece:
            start = np.array(screw.seat_mm) + np.array(screw.direction) * screw.grip_mm
            tools.append(tapped_hole(vec3(start), screw.direction, screw.thread, screw.drill_depth_mm))
        elif piece in joints[screw.joint].pieces:
            tools.append(clearance_hole(screw))
            tools += [slot_hole(screw, joints[screw.joint], design)] if screw.slot_mm > 0.0 else []
    return tools


def throttle_holes(piece: str, design: Design) -> list[Checked]:
    """The cutters of the tapped holes for throttle bodies that stand on a piece.

    Blind where the flange is thick enough for a drill's point behind two diameters of thread, else right through it.
    A joint whose screws are described one by one has them from `screw_holes`.
    """
    described = {screw.joint for screw in design.screws}
    tools: list[Checked] = []
    for joint in design.joints:
        if joint.kind != "body" or joint.pieces[0] != piece or joint.name in described:
            continue
        throttle = fed_by(joint, design)
        flange = next((f for f in design.flanges if f.joint == joint.name and f.piece == piece), None)
        wanted = _THREAD_DIAMETERS * thread(throttle.hole_thread).major_mm
        metal = flange.thickness_mm if flange is not None else wanted + _UNDER_THREAD_MM
        depth = wanted if metal >= wanted + _UNDER_THREAD_MM else metal + BEYOND_MM
        into = vec3(-np.array(throttle.frame.z))
        places = throttle.frame.to_world(np.array(throttle.holes_mm).reshape(-1, 2))
        tools += [tapped_hole(vec3(place), into, throttle.hole_thread, depth) for place in places]
    return tools


def dowel_holes(piece: str, design: Design) -> list[Checked]:
    """The cutters of every dowel of a piece's joints, on the piece's side."""
    joints = {joint.name: joint for joint in design.joints}
    sides = [(dowel, joints[dowel.joint].pieces) for dowel in design.dowels]
    return [_dowel_hole(dowel, second=pieces[1] == piece) for dowel, pieces in sides if piece in pieces]


def clearance_hole(screw: Screw) -> Checked:
    """From over the seat to past the joint plane; where the seat is sunk, with its counterbore."""
    frame = along(screw.seat_mm, screw.direction)
    bore, end = screw.clearance_mm / 2.0, screw.grip_mm + BEYOND_MM
    sunk = max(-screw.standoff_mm, 0.0)
    wide = max(screw.counterbore_mm, screw.post_mm) / 2.0
    if sunk <= 0.0 or wide <= bore:
        return turned(_rectangle(bore, -BEYOND_MM - sunk, end), frame)
    top = -BEYOND_MM - sunk
    steps: Contour = (
        (0.0, top, 0.0),
        (wide, top, 0.0),
        (wide, 0.0, 0.0),
        (bore, 0.0, 0.0),
        (bore, end, 0.0),
        (0.0, end, 0.0),
    )
    return turned(steps, frame)


def slot_hole(screw: Screw, joint: Joint, design: Design) -> Checked:
    """The slot of a hole, from the seat to past the joint plane."""
    way = 1.0 if float(np.dot(screw.direction, joint.frame.z)) < 0.0 else -1.0
    low = joint.frame.moved((0.0, 0.0, -way * BEYOND_MM))
    over = BEYOND_MM if screw.standoff_mm >= 0.0 else 0.0
    return prism(slot_outline(screw, design), low, way * (screw.grip_mm + BEYOND_MM + over))


def tapped_hole(place: Vec3, direction: Vec3, designation: str, depth_mm: float) -> Checked:
    """The hole to tap, countersunk, with the drill's point under its full depth. direction : into the metal."""
    held = thread(designation)
    mouth = held.major_mm / 2.0 + _MOUTH_BREAK_MM
    return turned(_drilled(held.tap_drill_mm / 2.0, mouth, depth_mm), along(place, direction))


def _dowel_hole(dowel: Dowel, second: bool) -> Checked:
    way = 1.0 if second else -1.0
    depth = dowel.depth_second_mm if second else dowel.depth_first_mm
    direction = vec3(np.array(dowel.direction) * way)
    radius = dowel.diameter_mm / 2.0
    return turned(_drilled(radius, radius + _MOUTH_BREAK_MM, depth), along(dowel.at_mm, direction))


def _drilled(bore: float, mouth: float, depth: float) -> Contour:
    """(radius, depth) of a countersunk hole with a drill's point."""
    tip = depth + bore / tan(radians(_TIP_HALF_ANGLE_DEG))
    return (
        (0.0, -BEYOND_MM, 0.0),
        (mouth + BEYOND_MM, -BEYOND_MM, 0.0),
        (bore, mouth - bore, 0.0),
        (bore, depth, 0.0),
        (0.0, tip, 0.0),
    )


def _rectangle(radius: float, low: float, high: float) -> Contour:
    return ((0.0, low, 0.0), (radius, low, 0.0), (radius, high, 0.0), (0.0, high, 0.0))


def along(place: Vec3, direction: Vec3) -> Frame:
    """At a place, z along a direction."""
    least = int(np.argmin(np.abs(direction)))
    return frame_from_normal(place, direction, np.eye(3)[least])
