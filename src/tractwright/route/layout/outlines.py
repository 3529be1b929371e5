"""Plane contours that the layout is drawn with."""

from collections.abc import Sequence
from math import asin, atan2, cos, hypot, pi, sin, tan

import numpy as np

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, contour_area, segment_length
from tractwright.geometry.offsets import offset_contour
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.geometry.unions import holds_point, rounded_union

Point = tuple[float, float]
_FILLETS_MM = (12.0, 9.0, 6.0, 4.0, 2.0)
_GROWN_MM = (0.0, 0.2, 0.45)
_ASIDE_MM = 0.0137
_NEARLY_MM = 1.0
_SLIVER_MM = 0.4
"""Edges shorter than this are a nuisance to every later step. Source: common_practice."""


def disc(at: Point, radius_mm: float) -> Contour:
    """A circle as two arcs."""
    return ((at[0] + radius_mm, at[1], 1.0), (at[0] - radius_mm, at[1], 1.0))


def box(centre: Point, width_mm: float, height_mm: float, radius_mm: float) -> Contour:
    """A rectangle with round corners, counter-clockwise."""
    outline = Outline(kind="rounded_rectangle", width_mm=width_mm, height_mm=height_mm, corner_radius_mm=radius_mm)
    return moved(outline_contour(outline), centre)


def round_box(points: Sequence[Point]) -> Contour:
    """The rectangle along x and y that just holds all points, with the roundest corners that still do."""
    centre, (width, height), radius = holding_box(points)
    return box(centre, width, height, radius)


def snug(points: Sequence[Point]) -> Contour:
    """The neatest outline that holds all points: a circle or a straight oval where they all but lie on one, else a box."""
    centre, (width, height), radius = holding_box(points)
    half, run = min(width, height) / 2, abs(width - height) / 2
    if half - radius > _NEARLY_MM:
        return box(centre, width, height, radius)
    along = (run, 0.0) if width > height else (0.0, run)
    if run < _NEARLY_MM:
        along = (0.0, 0.0)
    places = np.array(points) - np.array(centre)
    off = np.maximum(np.abs(places) - np.array(along), 0.0)
    reach = float(np.hypot(*off.T).max())
    return bar((centre[0] - along[0], centre[1] - along[1]), (centre[0] + along[0], centre[1] + along[1]), reach)


def holding_box(points: Sequence[Point]) -> tuple[Point, Point, float]:
    """Middle, width and height of the rectangle along x and y that just holds all points, and its roundest corners."""
    places = np.array(points)
    low, high = places.min(axis=0), places.max(axis=0)
    centre, (width, height) = (low + high) / 2, high - low
    a, b = np.maximum(np.array([width, height]) / 2 - np.abs(places - centre), 0.0).T  # how far inside the sides
    through = a + b + np.sqrt(2.0 * a * b)  # radius of the corner whose arc passes through the point
    radius = min(float(through.min()), float(width) / 2, float(height) / 2)
    return (float(centre[0]), float(centre[1])), (float(width), float(height)), radius


def bar(start: Point, end: Point, half_mm: float) -> Contour:
    """A straight bar with round ends."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    if length < 1e-6:
        return disc(start, half_mm)
    nx, ny = -(end[1] - start[1]) / length * half_mm, (end[0] - start[0]) / length * half_mm
    return (
        (start[0] - nx, start[1] - ny, 0.0),
        (end[0] - nx, end[1] - ny, 1.0),
        (end[0] + nx, end[1] + ny, 0.0),
        (start[0] + nx, start[1] + ny, 1.0),
    )


def arm(start: Point, start_mm: float, end: Point, end_mm: float) -> Contour:
    """A tapered bar: the outline round a disc at each end, of those radii, and the tangents that touch both."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    if length <= abs(end_mm - start_mm) + 1e-6:
        return disc(*max((start, start_mm), (end, end_mm), key=lambda item: item[1]))
    way = atan2(end[1] - start[1], end[0] - start[0])
    lean = pi / 2 + asin((end_mm - start_mm) / length)
    right, left = way - lean, way + lean
    return (
        (start[0] + start_mm * cos(right), start[1] + start_mm * sin(right), 0.0),
        (end[0] + end_mm * cos(right), end[1] + end_mm * sin(right), tan(lean / 2)),
        (end[0] + end_mm * cos(left), end[1] + end_mm * sin(left), 0.0),
        (start[0] + start_mm * cos(left), start[1] + start_mm * sin(left), tan((pi - lean) / 2)),
    )


def moved(contour: Contour, step: Point) -> Contour:
    """The contour shifted."""
    return tuple((x + step[0], y + step[1], bulge) for x, y, bulge in contour)


def joined(shapes: Sequence[Contour]) -> Contour:
    """The outline round overlapping shapes with the largest fillet in its inner corners that leaves no sliver of an edge.

    Where shapes all but touch, every shape but the first grows by a few tenths, alike ones alike. Where slivers cannot be
    helped the outline with the least of them is given. Raises KernelError where none closes.
    """
    best: tuple[float, Contour] | None = None
    fault = KernelError("outline round several shapes", "no fillet was tried")
    for grown in _GROWN_MM:
        these = [shapes[0], *(_fuller(shape, grown) for shape in shapes[1:])] if grown else shapes
        for fillet in _FILLETS_MM:
            try:
                outline = _whole(these, fillet)
            except KernelError as found:
                fault = found
                continue
            least = min(segment_length(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True))
            if least >= _SLIVER_MM:
                return outline
            best = max(best, (least, outline)) if best else (least, outline)
    if best is None:
        raise fault
    return best[1]


def _whole(shapes: Sequence[Contour], fillet_mm: float) -> Contour:
    """The outline round all the shapes. Raises KernelError where one of them stands apart and would be lost."""
    outline = rounded_union(shapes, fillet_mm)
    for shape in shapes:
        middle = sum(x for x, _, _ in shape) / len(shape) + _ASIDE_MM, sum(y for _, y, _ in shape) / len(shape)
        if not holds_point(outline, middle):
            raise KernelError(
                "outline round several shapes", f"the one at {middle[0]:.1f}, {middle[1]:.1f} stands apart"
            )
    return outline


def _fuller(shape: Contour, by_mm: float) -> Contour:
    """The shape grown by that and up to half as much again, by its own area: alike shapes alike, others not."""
    return offset_contour(shape, by_mm * (1.25 + sin(contour_area(shape)) / 4))
