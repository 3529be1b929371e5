"""Parallel contours and the filleted outline round several shapes, exact for lines and arcs."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, sqrt, tan

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of, contour_area

Point = tuple[float, float]

_SAME_MM = 1e-6
"""Points nearer than this are one point: far under any tolerance of the trade, far over rounding."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A line (radius 0) or an arc from start to end: centre, radius, first angle and signed sweep [rad]."""

    start: Point
    end: Point
    centre: Point = (0.0, 0.0)
    radius: float = 0.0
    first: float = 0.0
    sweep: float = 0.0

    def tangent(self, at_end: bool) -> Point:
        """Unit direction of travel at one end."""
        if self.radius == 0.0:
            length = hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])
            return (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length
        angle = self.first + (self.sweep if at_end else 0.0)
        side = 1.0 if self.sweep > 0 else -1.0
        return -sin(angle) * side, cos(angle) * side

    def place_of(self, point: Point) -> float:
        """Fraction of the piece at which a point of its line or circle lies; outside 0..1 it is beyond the ends."""
        if self.radius == 0.0:
            dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
            return ((point[0] - self.start[0]) * dx + (point[1] - self.start[1]) * dy) / (dx * dx + dy * dy)
        angle = atan2(point[1] - self.centre[1], point[0] - self.centre[0]) - self.first
        turn = (angle if self.sweep > 0 else -angle) % (2.0 * pi)
        span = abs(self.sweep)
        return (turn - 2.0 * pi if turn > span / 2.0 + pi else turn) / span

    def part(self, low: float, high: float) -> "_Piece":
        """The stretch between two fractions."""
        if self.radius == 0.0:
            return _Piece(self.at(low), self.at(high))
        return _arc(self.centre, self.radius, self.first + self.sweep * low, self.sweep * (high - low))

    def at(self, place: float) -> Point:
        """The point at a fraction."""
        if self.radius == 0.0:
            return (
                self.start[0] + (self.end[0] - self.start[0]) * place,
                self.start[1] + (self.end[1] - self.start[1]) * place,
            )
        angle = self.first + self.sweep * place
        return self.centre[0] + self.radius * cos(angle), self.centre[1] + self.radius * sin(angle)

    def shifted(self, distance: float) -> "_Piece | None":
        """The parallel piece to the right of travel; None where an arc shrinks to its centre."""
        if self.radius == 0.0:
            tx, ty = self.tangent(at_end=False)
            dx, dy = ty * distance, -tx * distance
            return _Piece((self.start[0] + dx, self.start[1] + dy), (self.end[0] + dx, self.end[1] + dy))
        radius = self.radius + (distance if self.sweep > 0 else -distance)
        if abs(radius) < _SAME_MM:
            return None
        if radius < 0.0:
            raise KernelError(
                "parallel contour", f"an arc of radius {self.radius:.3f} mm cannot shrink by {distance:.3f}"
            )
        return _arc(self.centre, radius, self.first, self.sweep)


def offset_contour(contour: Contour, distance_mm: float) -> Contour:
    """The contour parallel to a counter-clockwise one, outwards positive.

    Corners that open are rounded about the corner, corners that close are cut at the crossing.
    Raises KernelError where an arc is tighter than the distance, or two neighbours no longer meet.
    """
    kept = [moved for piece in _pieces(contour) if (moved := piece.shifted(distance_mm)) is not None]
    joined: list[_Piece] = []
    for i, piece in enumerate(kept):
        after = kept[(i + 1) % len(kept)]
        joined += [piece, *_join(piece, after, distance_mm)]
    return _contour(_trimmed(joined))


def rounded_union(shapes: Sequence[Contour], fillet_mm: float) -> Contour:
    """The outer outline round overlapping convex shapes, every inner corner filled with an arc of the fillet's radius.

    Exact: the shapes grow by the radius, are united, and the outline shrinks by it again. Where several separate
    outlines come out, the largest is given.
    """
    grown = [tuple(_pieces(offset_contour(shape, fillet_mm))) for shape in shapes]
    outlines = [_contour(pieces) for pieces in grown]
    outer: list[_Piece] = []
    for i, pieces in enumerate(grown):
        others = [(grown[k], outlines[k]) for k in range(len(grown)) if k != i]
        outer += _outside(pieces, others)
    loops = _chained(outer)
    largest = max((_contour(loop) for loop in loops), key=contour_area)
    return offset_contour(largest, -fillet_mm)


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


def _arc(centre: Point, radius: float, first: float, sweep: float) -> _Piece:
    start = centre[0] + radius * cos(first), centre[1] + radius * sin(first)
    end = centre[0] + radius * cos(first + sweep), centre[1] + radius * sin(first + sweep)
    return _Piece(start, end, centre, radius, first, sweep)


def _pieces(contour: Contour) -> list[_Piece]:
    pieces: list[_Piece] = []
    for start, end in zip(contour, contour[1:] + contour[:1], strict=True):
        if abs(start[2]) < 1e-12:
            pieces.append(_Piece(start[:2], end[:2]))
        else:
            cx, cy, radius, first, sweep = arc_of(start, end)
            pieces.append(_Piece(start[:2], end[:2], (cx, cy), radius, first, sweep))
    return pieces


def _contour(pieces: Sequence[_Piece]) -> Contour:
    return tuple(
        (float(piece.start[0]), float(piece.start[1]), float(tan(piece.sweep / 4.0)) if piece.radius else 0.0)
        for piece in pieces
    )


def _join(piece: _Piece, after: _Piece, distance: float) -> list[_Piece]:
    """The arc that bridges an opening corner; nothing where the two meet or cross."""
    if hypot(piece.end[0] - after.start[0], piece.end[1] - after.start[1]) < _SAME_MM:
        return []
    tx, ty = piece.tangent(at_end=True)
    ux, uy = after.tangent(at_end=False)
    turn = atan2(tx * uy - ty * ux, tx * ux + ty * uy)
    if turn * distance <= 0:
        return []
    centre = piece.end[0] - ty * distance, piece.end[1] + tx * distance
    return [_arc(centre, abs(distance), atan2(piece.end[1] - centre[1], piece.end[0] - centre[0]), turn)]


def _trimmed(pieces: list[_Piece]) -> list[_Piece]:
    """Neighbours that run past each other end at their crossing."""
    ends = [1.0] * len(pieces)
    starts = [0.0] * len(pieces)
    for i, piece in enumerate(pieces):
        k = (i + 1) % len(pieces)
        after = pieces[k]
        if hypot(piece.end[0] - after.start[0], piece.end[1] - after.start[1]) < _SAME_MM:
            continue
        places = [(piece.place_of(p), after.place_of(p)) for p in _crossings(piece, after)]
        inner = [(a, b) for a, b in places if 0.0 < a < 1.0 and 0.0 < b < 1.0]
        if not inner:
            raise KernelError("parallel contour", "two neighbouring segments no longer meet")
        ends[i], starts[k] = max(inner)
    if any(low >= high for low, high in zip(starts, ends, strict=True)):
        raise KernelError("parallel contour", "a segment is shorter than the distance takes away")
    return [piece.part(low, high) for piece, low, high in zip(pieces, starts, ends, strict=True)]


def _crossings(one: _Piece, two: _Piece) -> list[Point]:
    """Where the whole lines or circles of two pieces cross."""
    if one.radius == 0.0 and two.radius == 0.0:
        return _line_line(one, two)
    if one.radius == 0.0:
        return _line_circle(one, two)
    if two.radius == 0.0:
        return _line_circle(two, one)
    return _circle_circle(one, two)


def _line_line(one: _Piece, two: _Piece) -> list[Point]:
    ax, ay = one.end[0] - one.start[0], one.end[1] - one.start[1]
    bx, by = two.end[0] - two.start[0], two.end[1] - two.start[1]
    cross = ax * by - ay * bx
    if abs(cross) < 1e-12 * hypot(ax, ay) * hypot(bx, by):
        return []
    place = ((two.start[0] - one.start[0]) * by - (two.start[1] - one.start[1]) * bx) / cross
    return [one.at(place)]


def _line_circle(line: _Piece, circle: _Piece) -> list[Point]:
    tx, ty = line.tangent(at_end=False)
    rx, ry = circle.centre[0] - line.start[0], circle.centre[1] - line.start[1]
    along, aside = rx * tx + ry * ty, rx * ty - ry * tx
    square = circle.radius**2 - aside**2
    if square < 0.0:
        return []
    return [(line.start[0] + tx * t, line.start[1] + ty * t) for t in (along - sqrt(square), along + sqrt(square))]


def _circle_circle(one: _Piece, two: _Piece) -> list[Point]:
    dx, dy = two.centre[0] - one.centre[0], two.centre[1] - one.centre[1]
    apart = hypot(dx, dy)
    if apart < _SAME_MM:
        return []
    along = (apart**2 + one.radius**2 - two.radius**2) / (2.0 * apart)
    square = one.radius**2 - along**2
    if square < 0.0:
        return []
    ux, uy = dx / apart, dy / apart
    return [
        (one.centre[0] + ux * along - uy * h, one.centre[1] + uy * along + ux * h)
        for h in (-sqrt(square), sqrt(square))
    ]


def _outside(pieces: Sequence[_Piece], others: Sequence[tuple[Sequence[_Piece], Contour]]) -> list[_Piece]:
    """The stretches of an outline that lie in none of the others."""
    kept: list[_Piece] = []
    for piece in pieces:
        cuts = sorted({0.0, 1.0, *_cuts(piece, [other for other, _ in others])})
        for low, high in pairwise(cuts):
            stretch = piece.part(low, high)
            if not any(holds_point(outline, stretch.at(0.5)) for _, outline in others):
                kept.append(stretch)
    return kept


def _cuts(piece: _Piece, others: Sequence[Sequence[_Piece]]) -> list[float]:
    found: list[float] = []
    for other in (item for pieces in others for item in pieces):
        for point in _crossings(piece, other):
            if -1e-9 <= other.place_of(point) <= 1.0 + 1e-9 and 1e-9 < (place := piece.place_of(point)) < 1.0 - 1e-9:
                found.append(place)
    return found


def _chained(pieces: list[_Piece]) -> list[list[_Piece]]:
    """Stretches put end to end into closed loops."""
    left = list(pieces)
    loops: list[list[_Piece]] = []
    while left:
        loop = [left.pop(0)]
        while hypot(loop[-1].end[0] - loop[0].start[0], loop[-1].end[1] - loop[0].start[1]) > _SAME_MM:
            end = loop[-1].end
            nearest = min(left, key=lambda p: hypot(p.start[0] - end[0], p.start[1] - end[1]), default=None)
            if nearest is None or hypot(nearest.start[0] - end[0], nearest.start[1] - end[1]) > _SAME_MM:
                raise KernelError("outline round several shapes", "its stretches do not close")
            left.remove(nearest)
            loop.append(nearest)
        loops.append(loop)
    return loops
