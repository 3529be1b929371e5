"""A drawn contour as the outline it is: circle, oval, rounded rectangle, else a loop through its points."""

from math import degrees, pi, sqrt

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, contour_area, polyline, spread_points
from tractwright.geometry.frames import Array
from tractwright.geometry.outlines import Outline, circle, outline_contour

SAME_MM = 0.006
"""A drawn contour that keeps so near to a plain outline is one: half of what two joined openings may differ by."""
_CHORD_MM = 0.001
_MOST_POINTS = 180
_LEAST_TURN_DEG = 0.01
Point = tuple[float, float]


def outline_of(contour: Contour) -> tuple[Outline, Point, float]:
    """The outline about its own middle, that middle, and how far it is turned counter-clockwise [deg]. The contour runs
    counter-clockwise.
    """
    points = polyline(contour, _CHORD_MM)
    x, y = shapely.Polygon(points).centroid.coords[0]
    own = points - np.array([x, y])
    area = contour_area(contour)
    for outline, turn in _plain(own, area):
        if _same(outline, turn, own):
            return outline, (float(x), float(y)), turn
    return _loop(contour, own, (x, y)), (float(x), float(y)), 0.0


def _plain(own: Array, area: float) -> list[tuple[Outline, float]]:
    """The circle, and the oval and the rounded rectangle, that have the same area and size."""
    found = [(circle(2.0 * sqrt(area / pi)), 0.0)]
    turn = _least_turn(own)
    c, s = np.cos(turn), np.sin(turn)
    width, height = (float(size) for size in np.ptp(own @ np.array([[c, -s], [s, c]]), axis=0))
    corner = sqrt(max(width * height - area, 0.0) / (4.0 - pi))
    turned = degrees(turn) if abs(degrees(turn)) > _LEAST_TURN_DEG else 0.0
    found.append((Outline(kind="oval", width_mm=width, height_mm=height), turned))
    if corner < min(width, height) / 2.0:
        box = Outline(kind="rounded_rectangle", width_mm=width, height_mm=height, corner_radius_mm=corner)
        found.append((box, turned))
    return found


def _least_turn(own: Array) -> float:
    """How far the smallest rectangle round the points is turned, within 45 degrees either way [rad]."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shapely.Polygon(own)))
    side = corners[1] - corners[0]
    turn = float(np.arctan2(side[1], side[0]))
    return turn - round(turn / (pi / 2.0)) * pi / 2.0


def _same(outline: Outline, turn_deg: float, own: Array) -> bool:
    """Whether no point lies further from the outline than two alike openings may differ, nor the outline from them."""
    turn = np.radians(turn_deg)
    c, s = np.cos(turn), np.sin(turn)
    ring = polyline(outline_contour(outline), _CHORD_MM) @ np.array([[c, s], [-s, c]])
    one, two = shapely.LinearRing(ring), shapely.LinearRing(own)
    far = shapely.distance(shapely.points(own), one).max()
    return float(far) < SAME_MM and float(shapely.distance(shapely.points(ring), two).max()) < SAME_MM


def _loop(contour: Contour, own: Array, middle: Point) -> Outline:
    if len(own) > _MOST_POINTS:
        own = spread_points(contour, _MOST_POINTS) - np.array(middle)
    width, height = np.ptp(own, axis=0)
    places = tuple((float(x), float(y)) for x, y in own)
    return Outline(kind="loop", width_mm=float(width), height_mm=float(height), points_mm=places)
