"""The outline of a plenum's walls: the box, its cover columns and its neck pads as one smooth contour."""

from dataclasses import dataclass
from math import hypot, pi, tan

import numpy as np

from tractwright.design.records import Design, Flange, Joint, Plenum
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.unions import rounded_union

FILLETS_MM = (9.0, 7.0, 5.0, 3.5, 2.5)
"""Radius in the inner corners between wall, columns and pads: the largest that works. Source: common_practice."""
PAD_CORNER_MM = 3.0
_QUARTER = tan(pi / 8.0)
_SQUARE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """Where a neck stands on a wall, in the plenum frame.

    at_mm : the joint's centre; outwards : unit, in x-y, along x or y; wall_mm : from the box's inner face to the joint;
    across_mm : farthest reach of the neck's flange to the left and to the right of the centre, seen along `outwards`.
    """

    at_mm: tuple[float, float, float]
    outwards: tuple[float, float]
    wall_mm: float
    across_mm: tuple[float, float]


def inner_contour(plenum: Plenum) -> Contour:
    """The inside of the box, in the plenum frame."""
    return _box(plenum.centre_mm, plenum.width_mm, plenum.height_mm, plenum.corner_radius_mm)


def wall_outline(plenum: Plenum, columns: tuple[tuple[float, float, float], ...], gates: tuple[Gate, ...]) -> Contour:
    """The outside of walls, columns (x, y, radius) and pads, inner corners filled with the largest fillet that works.

    Raises KernelError where none works.
    """
    wall = plenum.wall_mm
    box = _box(
        plenum.centre_mm,
        plenum.width_mm + 2.0 * wall,
        plenum.height_mm + 2.0 * wall,
        plenum.corner_radius_mm + wall,
    )
    shapes = [box, *(_disc(*column) for column in columns), *(_pad(gate, wall) for gate in gates)]
    fault = KernelError("outline of the walls", "no fillet was tried")
    for fillet in FILLETS_MM:
        try:
            return rounded_union(shapes, fillet)
        except KernelError as found:
            fault = found
    raise fault


def wall_gates(piece: str, plenum: Plenum, design: Design) -> tuple[Gate, ...]:
    """The necks that stand on a plenum piece's walls. Raises KernelError where one does not stand square on a wall."""
    flanges = {flange.joint: flange for flange in design.flanges if flange.piece != piece}
    return tuple(
        _gate(plenum, joint, flanges[joint.name])
        for joint in design.joints
        if joint.kind == "neck" and joint.pieces[0] == piece
    )


def _gate(plenum: Plenum, joint: Joint, flange: Flange) -> Gate:
    at = plenum.frame.to_local(joint.frame.origin_mm)
    out = plenum.frame.matrix() @ np.array(joint.frame.z)
    if abs(out[2]) > _SQUARE or min(abs(out[0]), abs(out[1])) > _SQUARE:
        raise KernelError(f"the pad of {joint.name}", "the neck does not stand square on a wall of the plenum")
    out = np.round(out[:2])
    half = np.array([plenum.width_mm, plenum.height_mm]) / 2.0
    wall = float((at[:2] - np.array(plenum.centre_mm)) @ out - np.abs(out) @ half)
    if wall < _SQUARE:
        raise KernelError(f"the pad of {joint.name}", "the neck's joint lies inside the plenum")
    left = np.array([-out[1], out[0]])
    edge = plenum.frame.to_local(flange.frame.to_world(polyline(flange.contour)))[:, :2]
    sides = (edge - at[:2]) @ left
    return Gate(
        at_mm=(float(at[0]), float(at[1]), float(at[2])),
        outwards=(float(out[0]), float(out[1])),
        wall_mm=wall,
        across_mm=(max(float(sides.max()), 0.0), max(float(-sides.min()), 0.0)),
    )


def _pad(gate: Gate, wall_mm: float) -> Contour:
    """A rectangle from inside the wall to the joint, flat over the whole of the neck's flange."""
    (ox, oy), (left, right) = gate.outwards, gate.across_mm
    sunk = gate.wall_mm - wall_mm / 2.0 if gate.wall_mm > wall_mm else gate.wall_mm / 2.0
    width, depth = left + right + 2.0 * PAD_CORNER_MM, max(sunk, 2.0 * PAD_CORNER_MM + 0.1)
    aside = (left - right) / 2.0
    centre = (
        gate.at_mm[0] - ox * depth / 2.0 - oy * aside,
        gate.at_mm[1] - oy * depth / 2.0 + ox * aside,
    )
    across, along = (depth, width) if abs(ox) > 0.5 else (width, depth)
    return _box(centre, across, along, PAD_CORNER_MM)


def _disc(x: float, y: float, radius: float) -> Contour:
    return ((x + radius, y, 1.0), (x - radius, y, 1.0))


def _box(centre: tuple[float, float], width: float, height: float, radius: float) -> Contour:
    """A rectangle with round corners, counter-clockwise, its straight sides in one piece each."""
    w, h = width / 2.0, height / 2.0
    corners = (
        (w, -h + radius, 0.0),
        (w, h - radius, _QUARTER),
        (w - radius, h, 0.0),
        (-w + radius, h, _QUARTER),
        (-w, h - radius, 0.0),
        (-w, -h + radius, _QUARTER),
        (-w + radius, -h, 0.0),
        (w - radius, -h, _QUARTER),
    )
    moved = [(x + centre[0], y + centre[1], bulge) for x, y, bulge in corners]
    return tuple(
        vertex
        for vertex, after in zip(moved, moved[1:] + moved[:1], strict=True)
        if hypot(vertex[0] - after[0], vertex[1] - after[1]) > 1e-9
    )
