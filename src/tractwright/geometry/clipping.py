"""A contour with a flat: what stands out past a line is taken off, arcs stay arcs."""

from itertools import pairwise
from math import acos, atan, cos, hypot, pi, sin, tan

from tractwright.geometry.contours import Contour, Vertex, arc_of

_STRAIGHT = 1e-12
_ON_MM = 1e-7
_APART_MM = 1e-6


def flattened(contour: Contour, at: tuple[float, float], way: tuple[float, float], half_mm: float) -> Contour:
    """The contour less what lies past the line through a place, square to a way (of length 1), no further aside than half_mm.

    What is past the line has to lie within that strip: a flat is milled from its middle to both sides.
    """
    local = tuple(
        ((x - at[0]) * way[0] + (y - at[1]) * way[1], (y - at[1]) * way[0] - (x - at[0]) * way[1], bulge)
        for x, y, bulge in contour
    )
    parts = [part for start, end in zip(local, (*local[1:], local[0]), strict=True) for part in _parted(start, end)]
    kept = [(start, end) for start, end in parts if not _past(start, end, half_mm)]
    found: list[Vertex] = []
    for (start, end), (after, _) in zip(kept, (*kept[1:], *kept[:1]), strict=True):
        found.append(start)
        if hypot(after[0] - end[0], after[1] - end[1]) > _APART_MM:
            found.append((end[0], end[1], 0.0))
    return tuple((at[0] + u * way[0] - v * way[1], at[1] + u * way[1] + v * way[0], bulge) for u, v, bulge in found)


def _past(start: Vertex, end: Vertex, half_mm: float) -> bool:
    """Whether a segment that does not cross u = 0 lies past it, in the strip."""
    u, v = _place(start, end, 0.5)
    return u > _ON_MM and abs(v) < half_mm


def _parted(start: Vertex, end: Vertex) -> list[tuple[Vertex, Vertex]]:
    """A segment in parts that do not cross u = 0."""
    cuts = [0.0, *sorted(_crossings(start, end)), 1.0]
    found: list[tuple[Vertex, Vertex]] = []
    for first, last in pairwise(cuts):
        bulge = tan((last - first) * atan(start[2]))
        found.append(((*_place(start, end, first), bulge), (*_place(start, end, last), 0.0)))
    return found


def _crossings(start: Vertex, end: Vertex) -> list[float]:
    """Fractions of a segment, ends apart, where it crosses u = 0."""
    if abs(start[2]) < _STRAIGHT:
        rise = end[0] - start[0]
        return _inner([-start[0] / rise]) if abs(rise) > _STRAIGHT else []
    cu, _, radius, first, sweep = arc_of(start, end)
    if abs(cu) >= radius:
        return []
    spread = acos(-cu / radius)
    turns = [(angle - first) / sweep for angle in (spread, -spread)]
    round_it = abs(2.0 * pi / sweep)
    return _inner([turn + k * round_it for turn in turns for k in (-2, -1, 0, 1, 2)])


def _inner(fractions: list[float]) -> list[float]:
    return [item for item in fractions if 1e-9 < item < 1.0 - 1e-9]


def _place(start: Vertex, end: Vertex, fraction: float) -> tuple[float, float]:
    if abs(start[2]) < _STRAIGHT:
        return start[0] + (end[0] - start[0]) * fraction, start[1] + (end[1] - start[1]) * fraction
    cu, cv, radius, first, sweep = arc_of(start, end)
    turn = first + sweep * fraction
    return cu + radius * cos(turn), cv + radius * sin(turn)
