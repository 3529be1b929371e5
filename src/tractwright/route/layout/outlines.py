"""Plane contours that the layout is drawn with."""

from math import hypot

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.outlines import Outline, outline_contour
from tractwright.geometry.unions import rounded_union

Point = tuple[float, float]
_FILLETS_MM = (12.0, 9.0, 6.0, 4.0, 2.0)


def disc(at: Point, radius_mm: float) -> Contour:
    """A circle as two arcs."""
    return ((at[0] + radius_mm, at[1], 1.0), (at[0] - radius_mm, at[1], 1.0))


def box(centre: Point, width_mm: float, height_mm: float, radius_mm: float) -> Contour:
    """A rectangle with round corners, counter-clockwise."""
    outline = Outline(kind="rounded_rectangle", width_mm=width_mm, height_mm=height_mm, corner_radius_mm=radius_mm)
    return moved(outline_contour(outline), centre)


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


def moved(contour: Contour, step: Point) -> Contour:
    """The contour shifted."""
    return tuple((x + step[0], y + step[1], bulge) for x, y, bulge in contour)


def joined(shapes: list[Contour]) -> Contour:
    """The outline round overlapping shapes with the largest fillet in its inner corners that works."""
    *larger, least = _FILLETS_MM
    for fillet in larger:
        try:
            return rounded_union(shapes, fillet)
        except KernelError:
            continue
    return rounded_union(shapes, least)
