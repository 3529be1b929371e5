"""The outline of a plenum's walls: the box, its cover columns and its neck pads as one smooth contour."""

from math import hypot, pi, tan

from tractwright.design.records import Plenum
from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.unions import rounded_union
from tractwright.shape.parts.gates import Gate

FILLETS_MM = (9.0, 7.0, 5.0, 3.5, 2.5)
"""Radius in the inner corners between wall, columns and pads: the largest that works. Source: common_practice."""
PAD_CORNER_MM = 3.0
_QUARTER = tan(pi / 8.0)


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
