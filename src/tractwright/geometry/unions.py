"""The filleted outline round several overlapping shapes, exact for lines and arcs."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of, contour_area
from tractwright.geometry.offsets import merged, offset_contour
from tractwright.geometry.pieces import SAME_MM, Piece, Point, contour_of, crossings, pieces_of


def rounded_union(shapes: Sequence[Contour], fillet_mm: float) -> Contour:
    """The outer outline round overlapping convex shapes, every inner corner filled with an arc of the fillet's radius.

    Exact: the shapes grow by the radius, are united, and the outline shrinks by it again. Where several separate
    outlines come out, the largest is given.
    """
    grown = [tuple(pieces_of(offset_contour(shape, fillet_mm))) for shape in shapes]
    outlines = [contour_of(pieces) for pieces in grown]
    outer: list[Piece] = []
    for i, pieces in enumerate(grown):
        others = [(grown[k], outlines[k]) for k in range(len(grown)) if k != i]
        outer += _outside(pieces, others)
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


def _outside(pieces: Sequence[Piece], others: Sequence[tuple[Sequence[Piece], Contour]]) -> list[Piece]:
    """The stretches of an outline that lie in none of the others."""
    kept: list[Piece] = []
    for piece in pieces:
        cuts = sorted({0.0, 1.0, *_cuts(piece, [other for other, _ in others])})
        for low, high in pairwise(cuts):
            stretch = piece.part(low, high)
            if not any(holds_point(outline, stretch.at(0.5)) for _, outline in others):
                kept.append(stretch)
    return kept


def _cuts(piece: Piece, others: Sequence[Sequence[Piece]]) -> list[float]:
    found: list[float] = []
    for other in (item for pieces in others for item in pieces):
        for point in crossings(piece, other):
            if -1e-9 <= other.place_of(point) <= 1.0 + 1e-9 and 1e-9 < (place := piece.place_of(point)) < 1.0 - 1e-9:
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
