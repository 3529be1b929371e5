"""Where necks stand on a plenum's walls, and the openings behind them."""

from dataclasses import dataclass
from math import hypot, pi, tan

import numpy as np

from tractwright.design.records import Design, Joint, Plenum, Throttle
from tractwright.design.throttled import throttle_at
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array, Frame, Vec3, vec3
from tractwright.kernel.checked import Checked
from tractwright.kernel.shells import Entry
from tractwright.shape.parts.bodies import turned
from tractwright.shape.parts.finishes import BEYOND_MM, THROTTLE_LIP_MM

_SUNK_MM = 0.05
_QUARTER = tan(pi / 8.0)
_SQUARE = 1e-6
_HOLE_EDGE_MM = 8.0
"""Metal outside a throttle body's holes where it has no flange outline. Source: common_practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """Where a neck or a throttle body stands on a wall, in the plenum frame.

    at_mm : where the throttle's axis meets the joint; outwards : unit, in x-y, along x or y; wall_mm : from the box's
    inner face to the joint; across_mm : farthest reach of the flange there to the left and to the right of the axis,
    seen along `outwards`; bore_mm : diameter of the opening.
    """

    at_mm: Vec3
    outwards: tuple[float, float]
    wall_mm: float
    across_mm: tuple[float, float]
    bore_mm: float


def inlets(piece: str, design: Design) -> tuple[Joint, ...]:
    """The joints at which a neck or a throttle body stands on a piece."""
    return tuple(j for j in design.joints if j.kind in ("neck", "body") and j.pieces[0] == piece)


def wall_gates(piece: str, plenum: Plenum, design: Design) -> tuple[Gate, ...]:
    """What stands on a plenum piece's walls. Raises KernelError where one does not stand square on a wall."""
    return tuple(_gate(plenum, joint, design) for joint in inlets(piece, design))


def fed_by(joint: Joint, design: Design) -> Throttle:
    """The throttle at a joint. Raises KernelError where there is none."""
    throttle = throttle_at(joint, design)
    if throttle is None:
        raise KernelError(f"the opening at {joint.name}", "no throttle feeds it")
    return throttle


def axis_at(joint: Joint, throttle: Throttle) -> Frame:
    """The joint's frame moved to where the throttle's axis meets its plane; as it is where the axis is not square to it."""
    if abs(float(np.dot(joint.frame.z, throttle.frame.z))) < 1.0 - _SQUARE:
        return joint.frame
    x, y, _ = joint.frame.to_local(throttle.frame.origin_mm)
    return joint.frame.moved((float(x), float(y), 0.0))


def joint_reach(joint: Joint, design: Design) -> Array:
    """The outline of what meets at a joint (n, 3), job frame: its flange, or the holes' circle where it has none."""
    flange = next((f for f in design.flanges if f.joint == joint.name), None)
    if flange is not None:
        return flange.frame.to_world(polyline(flange.contour))
    throttle = fed_by(joint, design)
    far = max([throttle.bore_mm / 2.0, *(hypot(x, y) for x, y in throttle.holes_mm)]) + _HOLE_EDGE_MM
    turn = np.linspace(0.0, 2.0 * pi, 73)
    return throttle.frame.to_world(far * np.column_stack([np.cos(turn), np.sin(turn)]))


def flat_opening(gate: Gate, plenum: Plenum, floor_radius_mm: float) -> Entry | None:
    """The opening with its rounded mouth on the inner face of the wall; None where it does not fit the flat of it."""
    aside, half = _flat(gate, plenum)
    height = gate.at_mm[2] - plenum.floor_mm
    radius = gate.bore_mm / 2.0
    room = min(half - abs(aside), height - floor_radius_mm, plenum.depth_mm - height) - radius - 0.3
    if room < 0.0:
        return None
    across = min(THROTTLE_LIP_MM, room)
    return Entry(
        frame=_gate_frame(gate, plenum),
        bore_mm=gate.bore_mm,
        lip_across_mm=across if across >= 0.5 else 0.0,
        lip_deep_mm=min(THROTTLE_LIP_MM, gate.wall_mm - 1.0),
        length_mm=_reach(gate),
    )


def wide_opening(gate: Gate, plenum: Plenum) -> Checked:
    """An opening wider than the flat of its wall: the cutter also clears the box's rounded corners before it."""
    height, radius = gate.at_mm[2] - plenum.floor_mm, gate.bore_mm / 2.0
    room = min(height, plenum.depth_mm - height, _half_across(gate, plenum)) - radius - 0.3
    lip = min(THROTTLE_LIP_MM, gate.wall_mm - 1.0, max(room, 0.0))
    return lipped_bore(_gate_frame(gate, plenum), radius, lip, (-plenum.corner_radius_mm, _reach(gate)))


def lipped_bore(face: Frame, radius_mm: float, lip_mm: float, span_mm: tuple[float, float]) -> Checked:
    """A bore along z of a frame on a face, its mouth rounded, as wide as the mouth from the span's start to the face.

    The lip starts a little before the face, so that the two cross and do not merely touch. A lip under half a
    millimetre is left out.
    """
    far, end = span_mm
    lip = lip_mm if lip_mm >= 0.5 else 0.0
    mouth: Contour = ((radius_mm + lip, -_SUNK_MM, -_QUARTER), (radius_mm, lip - _SUNK_MM, 0.0)) if lip else ()
    return turned(
        (
            (0.0, far, 0.0),
            (radius_mm + lip, far, 0.0),
            *mouth,
            (radius_mm, end, 0.0),
            (0.0, end, 0.0),
        ),
        face,
    )


def _gate(plenum: Plenum, joint: Joint, design: Design) -> Gate:
    throttle = fed_by(joint, design)
    at = plenum.frame.to_local(axis_at(joint, throttle).origin_mm)
    out = plenum.frame.matrix() @ np.array(joint.frame.z)
    if abs(out[2]) > _SQUARE or min(abs(out[0]), abs(out[1])) > _SQUARE:
        raise KernelError(f"the pad of {joint.name}", "what stands there is not square to a wall of the plenum")
    out = np.round(out[:2])
    half = np.array([plenum.width_mm, plenum.height_mm]) / 2.0
    wall = float((at[:2] - np.array(plenum.centre_mm)) @ out - np.abs(out) @ half)
    if wall < 1.0:
        raise KernelError(f"the pad of {joint.name}", f"the joint lies {wall:.1f} mm outside the plenum's inner face")
    edge = plenum.frame.to_local(joint_reach(joint, design))[:, :2]
    sides = (edge - at[:2]) @ np.array([-out[1], out[0]])
    return Gate(
        at_mm=vec3(at),
        outwards=(float(out[0]), float(out[1])),
        wall_mm=wall,
        across_mm=(max(float(sides.max()), 0.0), max(float(-sides.min()), 0.0)),
        bore_mm=throttle.bore_mm,
    )


def _half_across(gate: Gate, plenum: Plenum) -> float:
    """From the opening's centre to the nearer of the two walls beside it."""
    aside, flat = _flat(gate, plenum)
    return flat + plenum.corner_radius_mm - abs(aside)


def _flat(gate: Gate, plenum: Plenum) -> tuple[float, float]:
    """How far the gate stands from the middle of its wall, and half the flat length of that wall."""
    along_x = abs(gate.outwards[1]) > 0.5
    axis, size = (0, plenum.width_mm) if along_x else (1, plenum.height_mm)
    return gate.at_mm[axis] - plenum.centre_mm[axis], size / 2.0 - plenum.corner_radius_mm


def _gate_frame(gate: Gate, plenum: Plenum) -> Frame:
    """On the wall's inner face at the opening's centre, z outwards."""
    out = np.array([*gate.outwards, 0.0])
    z, x = plenum.frame.turn(out), plenum.frame.turn([-out[1], out[0], 0.0])
    origin = plenum.frame.to_world(np.array(gate.at_mm) - out * gate.wall_mm)
    return Frame(origin_mm=vec3(origin), x=vec3(x), y=plenum.frame.z, z=vec3(z))


def _reach(gate: Gate) -> float:
    return gate.wall_mm + BEYOND_MM
