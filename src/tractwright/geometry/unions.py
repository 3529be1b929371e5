"""The filleted outline round several overlapping shapes, exact for lines and arcs."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of, contour_area
from tractwright.geometry.offsets import merged, offset_contour
from tractwright.geometry.pieces import SAME_MM, Piece, Point, contour_of, crossings, pieces_of

Extent = tuple[float, float, float, float]
"""Least x, least y, most x, most y: a bounding rectangle, that may be larger than it need be."""

_ASIDE = 0.463
"""Where along a stretch it is asked what holds it: not the middle, which symmetric shapes share with corners of others."""


@dataclass(frozen=True, slots=True)
class _Shape:
    """A shape with its pieces and their extents: most pieces of two shapes are far apart, and a glance says so."""

    outline: Contour
    pieces: tuple[Piece, ...]
    extents: tuple[Extent, ...]
    extent: Extent


def rounded_union(shapes: Sequence[Contour], fillet_mm: float) -> Contour:
    """The outer outline round overlapping convex shapes, every inner corner filled with an arc of the fillet's radius.

    Exact: the shapes grow by the radius, are united, and the outline shrinks by it again. Where several separate
    outlines come out, the largest is given.
    """
    grown = [_shape(offset_contour(shape, fillet_mm)) for shape in shapes]
    outer: list[Piece] = []
    for shape in grown:
        outer += _outside(shape, [other for other in grown if other is not shape and _meet(other.extent, shape.extent)])
    loops = _chained(outer)
    largest = max((contour_of(loop) for loop in loops), key=contour_area)
    return merged(offset_contour(largest, -fillet_mm))


def holds_point(contour: Contour, point: Point) -> bool:
    """Whether a point lies inside, exact for arcs: the polygon of chords, toggled by each arc's segment."""
    inside = False
    for start, end in zip(contour, contour[1:] + contour[:1], strict=True):
        above = (start[1] > point[1]) != (end[1] > point[1])
        if above and point[0] < start[0] + (end[0] - start[0]) * (point[1] - start[1]) / (end[1] - start[1]):
            inside = not inside
        if abs(start[2]) >= 1e-12 and _in_segment(start, end, point):
            inside = not inside
    return inside


def _in_segment(start: Vertex, end: Vertex, point: Point) -> bool:
    cx, cy, radius, _, sweep = arc_of(start, end)
    side = (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])
    beyond = side < 0 if sweep > 0 else side > 0
    return beyond and hypot(point[0] - cx, point[1] - cy) < radius


def _shape(outline: Contour) -> _Shape:
    pieces = tuple(pieces_of(outline))
    extents = tuple(_extent(piece) for piece in pieces)
    lows, highs = [extent[:2] for extent in extents], [extent[2:] for extent in extents]
    (x0, y0), (x1, y1) = map(min, zip(*lows, strict=True)), map(max, zip(*highs, strict=True))
    return _Shape(contour_of(pieces), pieces, extents, (x0, y0, x1, y1))


def _extent(piece: Piece) -> Extent:
    """The bounding rectangle of a line, or of an arc's two ends and how far it bulges beyond its chord."""
    (x0, y0), (x1, y1) = piece.start, piece.end
    out = SAME_MM
    if piece.radius > 0.0:
        middle = piece.at(0.5)
        out += hypot(middle[0] - (x0 + x1) / 2.0, middle[1] - (y0 + y1) / 2.0)
        if abs(piece.sweep) > 3.0:
            out += piece.radius
    return min(x0, x1) - out, min(y0, y1) - out, max(x0, x1) + out, max(y0, y1) + out


def _meet(one: Extent, two: Extent) -> bool:
    return one[0] <= two[2] and two[0] <= one[2] and one[1] <= two[3] and two[1] <= one[3]


def _holds(shape: _Shape, point: Point) -> bool:
    x0, y0, x1, y1 = shape.extent
    return x0 <= point[0] <= x1 and y0 <= point[1] <= y1 and holds_point(shape.outline, point)


def _outside(shape: _Shape, others: Sequence[_Shape]) -> list[Piece]:
    """The stretches of an outline that lie in none of the others."""
    kept: list[Piece] = []
    for piece, extent in zip(shape.pieces, shape.extents, strict=True):
        near = [other for other in others if _meet(other.extent, extent)]
        cuts = sorted({0.0, 1.0, *_cuts(piece, extent, near)})
        for low, high in pairwise(cuts):
            stretch = piece.part(low, high)
            if not any(_holds(other, stretch.at(_ASIDE)) for other in near):
                kept.append(stretch)
    return kept


def _cuts(piece: Piece, extent: Extent, others: Sequence[_Shape]) -> list[float]:
    found: list[float] = []
    for shape in others:
        for other in (item for item, its in zip(shape.pieces, shape.extents, strict=True) if _meet(its, extent)):
            for point in crossings(piece, other):
                inside = -1e-9 <= other.place_of(point) <= 1.0 + 1e-9
                if inside and 1e-9 < (place := piece.place_of(point)) < 1.0 - 1e-9:
                    found.append(place)
    return found


def _chained(pieces: list[Piece]) -> list[list[Piece]]:
    """Stretches put end to end into closed loops."""
    left = list(pieces)
    loops: list[list[Piece]] = []
    while left:
        loop = [left.pop(0)]
        while hypot(loop[-1].end[0] - loop[0].start[0], loop[-1].end[1] - loop[0].start[1]) > SAME_MM:
            end = loop[-1].end
            nearest = min(left, key=lambda p: hypot(p.start[0] - end[0], p.start[1] - end[1]), default=None)
            if nearest is None or hypot(nearest.start[0] - end[0], nearest.start[1] - end[1]) > SAME_MM:
                raise KernelError("outline round several shapes", "its stretches do not close")
            left.remove(nearest)
            loop.append(nearest)
        loops.append(loop)
    return loops
