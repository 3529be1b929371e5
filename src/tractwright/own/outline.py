"""A drawn contour as the outline it is: circle, oval, rounded rectangle, else a loop through its points."""

from math import atan2, degrees, hypot, isclose, pi, tan

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, contour_area, polyline, segment_length, spread_points
from tractwright.geometry.offsets import merged
from tractwright.geometry.outlines import Outline, circle

_SAME_MM = 1e-3
_SAME_RAD = 1e-4
_CHORD_MM = 0.003
_MOST_POINTS = 180
_SIDES = 4
Point = tuple[float, float]


def outline_of(contour: Contour) -> tuple[Outline, Point, float]:
    """The outline about its own middle, that middle, and how far it is turned counter-clockwise [deg]. The contour runs
    counter-clockwise.
    """
    tidy = merged(contour)
    middle = _middle(tidy)
    for reader in (_circle, _oval, _box):
        found = reader(tidy)
        if found is not None:
            outline, turn = found
            return outline, middle, turn
    return _loop(tidy, middle), middle, 0.0


def _middle(contour: Contour) -> Point:
    """The middle of its area."""
    x, y = shapely.Polygon(polyline(contour, _CHORD_MM)).centroid.coords[0]
    return float(x), float(y)


def _segments(contour: Contour) -> list[tuple[float, float, float]]:
    """Length of each segment's chord, its direction [rad], its bulge."""
    after = contour[1:] + contour[:1]
    return [
        (hypot(b[0] - a[0], b[1] - a[1]), atan2(b[1] - a[1], b[0] - a[0]), a[2])
        for a, b in zip(contour, after, strict=True)
    ]


def _circle(contour: Contour) -> tuple[Outline, float] | None:
    if any(bulge <= 0.0 for _, _, bulge in contour):
        return None
    points = polyline(contour, _CHORD_MM)
    around = sum(segment_length(a, b) for a, b in zip(contour, contour[1:] + contour[:1], strict=True))
    radius = around / (2.0 * pi)
    far = np.hypot(*(points - np.array(_middle(contour))).T)
    if float(np.abs(far - radius).max()) > 2.0 * _SAME_MM or not isclose(
        contour_area(contour), pi * radius**2, rel_tol=1e-5
    ):
        return None
    return circle(2.0 * radius), 0.0


def _oval(contour: Contour) -> tuple[Outline, float] | None:
    """Two half circles and two equal straight lines."""
    sides = _segments(contour)
    straight = [side for side in sides if abs(side[2]) < 1e-9]
    halves = [side for side in sides if isclose(side[2], 1.0, abs_tol=_SAME_RAD)]
    if len(sides) != _SIDES or len(straight) != 2 or len(halves) != 2 or abs(halves[0][0] - halves[1][0]) > _SAME_MM:
        return None
    across, along = halves[0][0], straight[0][0]
    outline = Outline(kind="oval", width_mm=along + across, height_mm=across)
    return _least_turned(outline, straight[0][1])


def _box(contour: Contour) -> tuple[Outline, float] | None:
    """Four straight sides at right angles, their corners sharp or all of one radius."""
    sides = _segments(contour)
    straight = [side for side in sides if abs(side[2]) < 1e-9]
    rounds = [side for side in sides if isclose(side[2], tan(pi / 8.0), abs_tol=_SAME_RAD)]
    if len(straight) != _SIDES or len(rounds) not in (0, _SIDES) or len(straight) + len(rounds) != len(sides):
        return None
    turns = np.diff(np.unwrap([direction for _, direction, _ in straight]))
    radii = [chord / 2**0.5 for chord, _, _ in rounds] or [0.0]
    if float(np.abs(turns - pi / 2.0).max()) > _SAME_RAD or max(radii) - min(radii) > _SAME_MM:
        return None
    if max(abs(straight[k][0] - straight[k + 2][0]) for k in (0, 1)) > _SAME_MM:
        return None
    width, height = (straight[k][0] + 2.0 * radii[0] for k in (0, 1))
    outline = Outline(kind="rounded_rectangle", width_mm=width, height_mm=height, corner_radius_mm=radii[0])
    return _least_turned(outline, straight[0][1])


def _least_turned(outline: Outline, turn_rad: float) -> tuple[Outline, float]:
    """The same outline turned as little as its symmetry allows."""
    quarters = round(turn_rad / (pi / 2.0))
    if quarters % 2:
        outline = Outline(
            kind=outline.kind,
            width_mm=outline.height_mm,
            height_mm=outline.width_mm,
            corner_radius_mm=outline.corner_radius_mm,
        )
    left = degrees(turn_rad - quarters * pi / 2.0)
    return outline, 0.0 if abs(left) < 1e-6 else left


def _loop(contour: Contour, middle: Point) -> Outline:
    points = polyline(contour, _CHORD_MM)
    if len(points) > _MOST_POINTS:
        points = spread_points(contour, _MOST_POINTS)
    own = points - np.array(middle)
    width, height = np.ptp(own, axis=0)
    places = tuple((float(x), float(y)) for x, y in own)
    return Outline(kind="loop", width_mm=float(width), height_mm=float(height), points_mm=places)
