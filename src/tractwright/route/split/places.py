"""Where the screws and pins of a split may stand: beside the seal, their heads and keys clear of runners and plates."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, dist, radians, sin
from typing import Literal

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array
from tractwright.route.layout.chamber import LAND_MM
from tractwright.route.layout.outlines import Point
from tractwright.route.layout.places import DOWEL_MM
from tractwright.route.layout.screws import lug_radius
from tractwright.route.split.plane import SplitPlane
from tractwright.standards.envelope import Envelope, envelope_of
from tractwright.standards.holes import clearance_mm
from tractwright.standards.screws import washer
from tractwright.standards.spacing import GASKET_FACTOR, widest_spacing_mm
from tractwright.standards.threads import thread

Side = Literal[1, -1]
"""Which side of the plane the heads are on: 1 the middle piece's, -1 the head piece's."""
_ROOM_MM = 0.6
_AROUND_KEY_MM = 0.6
_TIP_MM = 7.0
_TIP_ROOM_MM = 0.7
_LUG_CLEAR_MM = 8.5
_PIN_LAND_MM = 2.6
_STEP_MM = 1.0
_FURTHEST_MM = 70.0
_BENT_KEY_COSTS_MM = 6.0
"""A straight key is worth so much of an arm's length. Source: shop_judgement."""
_CORNERS_DEG = (50.0, 45.0, 55.0, 40.0, 60.0, 35.0, 65.0, 30.0, 70.0, 25.0, 20.0)
_PIN_DEG = (12.0, 18.0, 6.0, 24.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """Places in the plane. side : where the heads are; effort_mm : how far the screws had to be moved out, all together."""

    side: Side
    screws: tuple[Point, ...]
    pins: tuple[Point, ...]
    effort_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Ground:
    """What a screw has to keep clear of. around_mm (n, 3) : points of skins and plates in the plane's frame; plates_mm : of
    the plates alone, which its lug keeps off too; seal : its groove's middle; thickness_mm : of either plate.
    """

    plane: SplitPlane
    around_mm: Array
    plates_mm: Array
    seal: Contour
    groove_mm: float
    thickness_mm: float
    screw: str


def spots(ground: Ground) -> Spots | None:
    """The places that ask for the least metal, heads on the better side; None where a corner of the seal finds none."""
    found = [item for side in (1, -1) if (item := _on_side(ground, side)) is not None]
    return min(found, key=lambda item: item.effort_mm) if found else None


def _on_side(ground: Ground, side: Side) -> Spots | None:
    screws: list[Point] = []
    effort = 0.0
    for needed, ways in _slots(ground):
        best = min((item for way in ways if (item := _walked(ground, side, *way)) is not None), default=None)
        if best is None and needed:
            return None
        if best is not None:
            effort += best[0]
            screws.append(best[1])
    return Spots(side=side, screws=tuple(sorted(screws)), pins=_pins(ground, screws), effort_mm=effort)


def _slots(ground: Ground) -> Iterator[tuple[bool, list[tuple[Point, Point]]]]:
    """For each screw whether the seal needs it, and the ways out it may take, as foot on the row and direction: two at
    either end, two between neighbours, and two over a passage where those would stand far apart.
    """
    centres = [item.way.at_mm for item in ground.plane.crossings]
    for end, out in ((centres[0], -1.0), (centres[-1], 1.0)):
        for up in (1.0, -1.0):
            yield True, [(end, (out * cos(radians(deg)), up * sin(radians(deg)))) for deg in _CORNERS_DEG]
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(centres)]
    over = [b for a, b, c in zip(centres, centres[1:], centres[2:], strict=False) if _wide(ground, a, c)]
    for foot in (*middles, *over):
        for up in (1.0, -1.0):
            yield foot in middles, [(foot, (0.0, up))]


def _wide(ground: Ground, a: Point, c: Point) -> bool:
    """Whether the screws on both sides of a passage, midway to its neighbours, stand too far apart for the seal."""
    widest = widest_spacing_mm(thread(ground.screw).major_mm, ground.thickness_mm, GASKET_FACTOR["cord"])
    return dist(a, c) / 2.0 > widest


def _walked(ground: Ground, side: Side, foot: Point, way: Point) -> tuple[float, Point] | None:
    """The nearest place along a way where a screw may stand, and what it costs."""
    ring = shapely.Polygon(polyline(ground.seal))
    least = ground.groove_mm / 2.0 + LAND_MM + clearance_mm(ground.screw) / 2.0
    space = envelope_of("cap", ground.screw, washer(ground.screw).standard)
    for out in np.arange(0.0, _FURTHEST_MM, _STEP_MM):
        place = (foot[0] + float(out) * way[0], foot[1] + float(out) * way[1])
        spot = shapely.Point(place)
        if ring.contains(spot) or ring.distance(spot) < least or _crowded(ground, place):
            continue
        key = _key_mm(ground, side, place, space)
        if key >= space.bent_mm:
            return float(out) + (0.0 if key >= space.straight_mm else _BENT_KEY_COSTS_MM), place
    return None


def _crowded(ground: Ground, place: Point) -> bool:
    """Whether a lug there stands nearer to another plate than a cutter is wide."""
    off = np.hypot(ground.plates_mm[:, 0] - place[0], ground.plates_mm[:, 1] - place[1]) - lug_radius(ground.screw)
    over = np.abs(ground.plates_mm[:, 2]) - ground.thickness_mm
    return bool((np.hypot(np.maximum(off, 0.0), np.maximum(over, 0.0)) < _LUG_CLEAR_MM).any())


def _key_mm(ground: Ground, side: Side, place: Point, space: Envelope) -> float:
    """Free length for a key over a head; nothing where the head or the tip has no room."""
    seat = ground.thickness_mm
    off = np.hypot(ground.around_mm[:, 0] - place[0], ground.around_mm[:, 1] - place[1])
    up = ground.around_mm[:, 2] * side
    head = (off < space.head_radius_mm + _ROOM_MM) & (up > seat - _ROOM_MM) & (up < seat + space.head_height_mm)
    tip = (off < thread(ground.screw).major_mm / 2.0 + _TIP_ROOM_MM) & (up < -seat + _ROOM_MM) & (up > -seat - _TIP_MM)
    if head.any() or tip.any():
        return 0.0
    over = up - seat - space.head_height_mm
    stands = (off < space.key_radius_mm + _AROUND_KEY_MM) & (over > 0.0)
    return float(over[stands].min(initial=np.inf))


def _pins(ground: Ground, screws: Sequence[Point]) -> tuple[Point, Point]:
    """One beyond either end of the row, both a little to one side, so that the pieces go together one way only."""
    centres = [item.way.at_mm for item in ground.plane.crossings]
    found: list[Point] = []
    for foot, out in ((centres[0], -1.0), (centres[-1], 1.0)):
        ways = [(out * cos(radians(deg)), sin(radians(deg))) for deg in _PIN_DEG]
        found.append(min((_pinned(ground, screws, foot, way) for way in ways), key=lambda place: dist(place, foot)))
    return found[0], found[1]


def _pinned(ground: Ground, screws: Sequence[Point], foot: Point, way: Point) -> Point:
    """The nearest place along a way that is outside the seal and has metal to its groove and to every screw's hole."""
    ring = shapely.LinearRing(polyline(ground.seal))
    region = shapely.Polygon(ring)
    least = DOWEL_MM / 2.0 + _PIN_LAND_MM
    apart = least + clearance_mm(ground.screw) / 2.0
    out = 0.0
    while True:
        place = foot[0] + out * way[0], foot[1] + out * way[1]
        spot = shapely.Point(place)
        sealed = region.contains(spot) or ring.distance(spot) < ground.groove_mm / 2.0 + least
        if not sealed and all(dist(place, screw) >= apart for screw in screws):
            return place
        out += _STEP_MM / 4.0
