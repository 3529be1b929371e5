"""The lines and arcs of plane contours one by one: their tangents, parts, parallels and crossings."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt, tan

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, arc_of

Point = tuple[float, float]

SAME_MM = 1e-6
"""Points nearer than this are one point: far under any tolerance of the trade, far over rounding."""


@dataclass(frozen=True, slots=True)
class Piece:
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

    def part(self, low: float, high: float) -> "Piece":
        """The stretch between two fractions."""
        if self.radius == 0.0:
            return Piece(self.at(low), self.at(high))
        return arc_piece(self.centre, self.radius, self.first + self.sweep * low, self.sweep * (high - low))

    def at(self, place: float) -> Point:
        """The point at a fraction."""
        if self.radius == 0.0:
            return (
                self.start[0] + (self.end[0] - self.start[0]) * place,
                self.start[1] + (self.end[1] - self.start[1]) * place,
            )
        angle = self.first + self.sweep * place
        return self.centre[0] + self.radius * cos(angle), self.centre[1] + self.radius * sin(angle)

    def shifted(self, distance: float) -> "Piece | None":
        """The parallel piece to the right of travel; None where an arc shrinks to its centre."""
        if self.radius == 0.0:
            tx, ty = self.tangent(at_end=False)
            dx, dy = ty * distance, -tx * distance
            return Piece((self.start[0] + dx, self.start[1] + dy), (self.end[0] + dx, self.end[1] + dy))
        radius = self.radius + (distance if self.sweep > 0 else -distance)
        if abs(radius) < SAME_MM:
            return None
        if radius < 0.0:
            raise KernelError(
                "parallel contour", f"an arc of radius {self.radius:.3f} mm cannot shrink by {distance:.3f}"
            )
        return arc_piece(self.centre, radius, self.first, self.sweep)


def arc_piece(centre: Point, radius: float, first: float, sweep: float) -> Piece:
    """The arc from its first angle through a signed sweep [rad]."""
    start = centre[0] + radius * cos(first), centre[1] + radius * sin(first)
    end = centre[0] + radius * cos(first + sweep), centre[1] + radius * sin(first + sweep)
    return Piece(start, end, centre, radius, first, sweep)


def pieces_of(contour: Contour) -> list[Piece]:
    """Every segment of a closed contour."""
    pieces: list[Piece] = []
    for start, end in zip(contour, contour[1:] + contour[:1], strict=True):
        if abs(start[2]) < 1e-12:
            pieces.append(Piece(start[:2], end[:2]))
        else:
            cx, cy, radius, first, sweep = arc_of(start, end)
            pieces.append(Piece(start[:2], end[:2], (cx, cy), radius, first, sweep))
    return pieces


def contour_of(pieces: Sequence[Piece]) -> Contour:
    """The contour through closed pieces."""
    return tuple(
        (float(piece.start[0]), float(piece.start[1]), float(tan(piece.sweep / 4.0)) if piece.radius else 0.0)
        for piece in pieces
    )


def crossings(one: Piece, two: Piece) -> list[Point]:
    """Where the whole lines or circles of two pieces cross."""
    if one.radius == 0.0 and two.radius == 0.0:
        return _line_line(one, two)
    if one.radius == 0.0:
        return _line_circle(one, two)
    if two.radius == 0.0:
        return _line_circle(two, one)
    return _circle_circle(one, two)


def _line_line(one: Piece, two: Piece) -> list[Point]:
    ax, ay = one.end[0] - one.start[0], one.end[1] - one.start[1]
    bx, by = two.end[0] - two.start[0], two.end[1] - two.start[1]
    cross = ax * by - ay * bx
    if abs(cross) < 1e-12 * hypot(ax, ay) * hypot(bx, by):
        return []
    place = ((two.start[0] - one.start[0]) * by - (two.start[1] - one.start[1]) * bx) / cross
    return [one.at(place)]


def _line_circle(line: Piece, circle: Piece) -> list[Point]:
    tx, ty = line.tangent(at_end=False)
    rx, ry = circle.centre[0] - line.start[0], circle.centre[1] - line.start[1]
    along, aside = rx * tx + ry * ty, rx * ty - ry * tx
    square = circle.radius**2 - aside**2
    if square < 0.0:
        return []
    return [(line.start[0] + tx * t, line.start[1] + ty * t) for t in (along - sqrt(square), along + sqrt(square))]


def _circle_circle(one: Piece, two: Piece) -> list[Point]:
    dx, dy = two.centre[0] - one.centre[0], two.centre[1] - one.centre[1]
    apart = hypot(dx, dy)
    if apart < SAME_MM:
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
