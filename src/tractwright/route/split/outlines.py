"""Outlines in the plane of a split: seal, lands, bars between neighbours, arms to screws."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, pi, tan

import numpy as np

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array
from tractwright.geometry.offsets import offset_contour
from tractwright.route.layout.chamber import LAND_MM
from tractwright.route.layout.outlines import Point, arm, bar, disc, joined, snug
from tractwright.route.split.plane import Crossing, SplitPlane

WAIST_SHARE = 0.6
"""Half height of the metal between two passages, of the lesser passage's. Source: shop_judgement."""
_ROOT_LAND_MM = 1.0
_ARM_GROWS = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """What the outlines are drawn with [mm]: root radius, width of the groove, radius of a lug, of metal round a pin."""

    root_mm: float
    groove_mm: float
    lug_mm: float
    pin_mm: float


def seal_path(plane: SplitPlane, widths: Widths) -> Contour:
    """One cord's middle round all openings, drawn in between them."""
    off = LAND_MM + widths.groove_mm / 2.0
    shapes = [offset_contour(snug(points_of(item.opening_mm)), off) for item in plane.crossings]
    return joined([*shapes, *_bars(plane, off)])


def flange_outline(plane: SplitPlane, widths: Widths, screws: Sequence[Point], pins: Sequence[Point]) -> Contour:
    """Lands for roots and seal, bars between them, arms out to the screws, metal round the pins."""
    lands = [_land(item, widths) for item in plane.crossings]
    bars = _bars(plane, 2.0 * LAND_MM + widths.groove_mm)
    arms = [_arm(plane, spot, widths) for spot in screws]
    return joined([*lands, *bars, *arms, *(disc(pin, widths.pin_mm) for pin in pins)])


def points_of(places: Array) -> list[Point]:
    """Rows of an array (m, 2) as points."""
    return [(float(x), float(y)) for x, y in places]


def row_foot(plane: SplitPlane, place: Point) -> Point:
    """The nearest point to a place on the line from crossing to crossing."""
    centres = [item.way.at_mm for item in plane.crossings]
    if len(centres) == 1:
        return centres[0]
    return min((_nearest(place, a, b) for a, b in pairwise(centres)), key=lambda foot: dist(foot, place))


def _land(item: Crossing, widths: Widths) -> Contour:
    """Round the metal at all its heights with its roots, and round the seal with its lands."""
    root = widths.root_mm * tan(pi / 4 + item.lean_rad / 2.0) + _ROOT_LAND_MM
    more = max(2.0 * LAND_MM + widths.groove_mm - root, 0.0)
    centre = item.opening_mm.mean(axis=0)
    spokes = item.opening_mm - centre
    sealed = item.opening_mm + spokes / np.linalg.norm(spokes, axis=1, keepdims=True) * more
    return offset_contour(snug(points_of(np.concatenate([*item.metal_mm, sealed]))), root)


def _bars(plane: SplitPlane, over_mm: float) -> list[Contour]:
    halves = [float(np.ptp(item.opening_mm[:, 1])) / 2.0 for item in plane.crossings]
    half = WAIST_SHARE * min(halves) + over_mm
    return [bar(a.way.at_mm, b.way.at_mm, half) for a, b in pairwise(plane.crossings)]


def _arm(plane: SplitPlane, spot: Point, widths: Widths) -> Contour:
    foot = row_foot(plane, spot)
    return arm(spot, widths.lug_mm, foot, widths.lug_mm + _ARM_GROWS * dist(spot, foot))


def _nearest(place: Point, a: Point, b: Point) -> Point:
    way = (b[0] - a[0], b[1] - a[1])
    length = way[0] ** 2 + way[1] ** 2
    if length < 1e-12:
        return a
    share = ((place[0] - a[0]) * way[0] + (place[1] - a[1]) * way[1]) / length
    share = min(max(share, 0.0), 1.0)
    return a[0] + share * way[0], a[1] + share * way[1]
