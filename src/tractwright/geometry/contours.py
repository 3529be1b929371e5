"""Plane contours of lines and arcs: a vertex is (x, y, bulge), the bulge belonging to the segment that leaves it.

Bulge = tan(a quarter of the arc's angle), positive counter-clockwise, 0 a straight line: the convention of polylines
in drawing exchange files.
"""

from math import acos, atan2, ceil, cos, hypot, sin

import numpy as np

from tractwright.geometry.frames import Array

Vertex = tuple[float, float, float]
Contour = tuple[Vertex, ...]


def segment_length(start: Vertex, end: Vertex) -> float:
    """Length of the line or arc from one vertex to the next."""
    chord = hypot(end[0] - start[0], end[1] - start[1])
    if abs(start[2]) < 1e-12:
        return chord
    angle = 4.0 * float(np.arctan(start[2]))
    return chord / 2.0 / abs(sin(angle / 2.0)) * abs(angle)


def arc_of(start: Vertex, end: Vertex) -> tuple[float, float, float, float, float]:
    """Centre x, y, radius, start angle, swept angle [rad] of the arc that leaves `start`."""
    sweep = 4.0 * float(np.arctan(start[2]))
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = hypot(dx, dy) / 2.0
    radius = half / abs(sin(sweep / 2.0))
    lift = half / np.tan(sweep / 2.0)
    cx = (start[0] + end[0]) / 2.0 - dy / (2.0 * half) * lift
    cy = (start[1] + end[1]) / 2.0 + dx / (2.0 * half) * lift
    return cx, cy, radius, atan2(start[1] - cy, start[0] - cx), sweep


def contour_length(contour: Contour) -> float:
    """Length round the contour [mm]."""
    return sum(segment_length(a, b) for a, b in _segments(contour))


def contour_area(contour: Contour) -> float:
    """Area inside [mm2], positive counter-clockwise, exact for arcs."""
    total = 0.0
    for start, end in _segments(contour):
        total += (start[0] * end[1] - end[0] * start[1]) / 2.0
        if abs(start[2]) >= 1e-12:
            _, _, radius, _, sweep = arc_of(start, end)
            total += radius * radius * (sweep - sin(sweep)) / 2.0
    return total


def counter_clockwise(contour: Contour) -> Contour:
    """The same contour run counter-clockwise."""
    if contour_area(contour) > 0.0:
        return contour
    bulges = [-contour[i - 1][2] for i in range(len(contour))]
    return tuple((x, y, bulge) for (x, y, _), bulge in list(zip(contour, bulges, strict=True))[::-1])


def least_radius(contour: Contour) -> float:
    """The tightest corner of a contour [mm]; 0 where two segments meet at an angle."""
    least = np.inf
    for start, end in zip(contour, (*contour[1:], contour[0]), strict=True):
        if abs(start[2]) > 1e-9:
            least = min(least, arc_of(start, end)[2])
    return float(least) if np.isfinite(least) else 0.0


def spread_points(contour: Contour, count: int, offset_mm: float = 0.0) -> Array:
    """Points (count, 2) evenly spread by arc length of the contour itself, from its first vertex.

    offset_mm : each point moved along its own outward normal (counter-clockwise contours), so points of two offsets face
        each other. At a sharp corner the normal is that of the segment the point stands on.
    """
    segments = _segments(contour)
    lengths = np.array([segment_length(a, b) for a, b in segments])
    ends = np.cumsum(lengths)
    places = np.arange(count) * (ends[-1] / count)
    index = np.minimum(np.searchsorted(ends, places, side="right"), len(segments) - 1)
    points = np.empty((count, 2))
    for row, (place, k) in enumerate(zip(places, index, strict=True)):
        fraction = (place - (ends[k] - lengths[k])) / lengths[k]
        start, end = segments[int(k)]
        x, y, nx, ny = _at(start, end, float(fraction))
        points[row] = x + offset_mm * nx, y + offset_mm * ny
    return points


def polyline(contour: Contour, chord_error_mm: float = 0.01) -> Array:
    """Points (n, 2) along the contour, arcs broken so that no chord strays further than the error."""
    points: list[tuple[float, float]] = []
    for start, end in _segments(contour):
        if abs(start[2]) < 1e-12:
            points.append(start[:2])
            continue
        cx, cy, radius, first, sweep = arc_of(start, end)
        widest = 2.0 * acos(max(-1.0, 1.0 - chord_error_mm / radius)) if radius > chord_error_mm else 1.0
        steps = max(2, ceil(abs(sweep) / widest))
        turns = [first + sweep * (i / steps) for i in range(steps)]
        points += [(cx + radius * cos(turn), cy + radius * sin(turn)) for turn in turns]
    return np.array(points)


def _segments(contour: Contour) -> list[tuple[Vertex, Vertex]]:
    return [(vertex, contour[(i + 1) % len(contour)]) for i, vertex in enumerate(contour)]


def _at(start: Vertex, end: Vertex, fraction: float) -> tuple[float, float, float, float]:
    """Place and outward normal at a fraction of a segment's length."""
    if abs(start[2]) < 1e-12:
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = hypot(dx, dy)
        return start[0] + dx * fraction, start[1] + dy * fraction, dy / length, -dx / length
    cx, cy, radius, first, sweep = arc_of(start, end)
    angle = first + sweep * fraction
    side = 1.0 if sweep > 0 else -1.0
    return cx + radius * cos(angle), cy + radius * sin(angle), side * cos(angle), side * sin(angle)
